/** The modules of vtk.js that ship without types, as far as they are used here. */

declare module '@kitware/vtk.js/Filters/General/ImageMarchingCubes/caseTable.js' {
  const caseTable: {
    /** The cut edges, three for each triangle, ended by -1. */
    getCase(index: number): readonly number[]
    getEdge(edge: number): readonly [number, number]
  }
  // biome-ignore lint/style/noDefaultExport: the module has a default export
  export default caseTable
}

declare module '@kitware/vtk.js/Rendering/OpenGL/Profiles/Geometry.js' {}
