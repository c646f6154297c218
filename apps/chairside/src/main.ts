import { defineElements } from '@alveometer/viewer'

defineElements()
