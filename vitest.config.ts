import { defineConfig } from 'vitest/config'
import { browserProject, nodeProject } from './tests/projects.js'

/** One worker a core would be half of a small machine's: most files wait for a browser, a worker or another program. */
const maxWorkers = 2

export default defineConfig({ test: { maxWorkers, projects: [nodeProject, browserProject] } })
