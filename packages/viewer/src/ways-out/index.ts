export { AlvWayPicture } from './alv-way-picture.js'
export { AlvWaysOut } from './alv-ways-out.js'
