import { defineConfig } from 'vitest/config'
import { browserProject, nodeProject } from './tests/projects.js'

export default defineConfig({ test: { projects: [nodeProject, browserProject] } })
