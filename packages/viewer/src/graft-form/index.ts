export { AlvGraftForm } from './alv-graft-form.js'
