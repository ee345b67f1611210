// Reads a zipped set with the library isoxml and prints what it makes of it: its warnings
// and, of each task, the name, the type of grid, the zones, and the cells of type 2 that are
// not all zero, each with its south-west corner and its counts.
//
//   RXSPLIT_ISOXML=.../node_modules/isoxml node isoxml.js set.zip
const fs = require('fs')
const {ISOXMLManager} = require(process.env.RXSPLIT_ISOXML)

async function main(file) {
  const manager = new ISOXMLManager()
  await manager.parseISOXMLFile(new Uint8Array(fs.readFileSync(file)), 'application/zip')
  const tasks = (manager.rootElement.attributes.Task || []).map(task => {
    const a = task.attributes
    const grid = a.Grid && a.Grid[0]
    const out = {name: a.TaskDesignator || '', type: grid ? Number(grid.attributes.GridType) : 0, zones: (a.TreatmentZone || []).length, logs: [], cells: []}
    if (out.type === 2) {
      const zone = a.TreatmentZone.find(z => z.attributes.TreatmentZoneCode === grid.attributes.TreatmentZoneCode)
      const names = zone.attributes.ProcessDataVariable.map((_, i) => 'v' + i)
      for (const f of task.getGridAsGeoJSON(names).features) {
        const [x, y] = f.geometry.coordinates[0][0]
        out.cells.push([x, y, ...names.map(n => f.properties[n])])
      }
    }
    for (const log of a.TimeLog || []) {
      log.parseBinaryFile()
      out.logs.push({errors: (log.parsingErrors || []).length})
    }
    return out
  })
  console.log(JSON.stringify({warnings: manager.getWarnings(), tasks}))
}

main(process.argv[2]).catch(e => { console.error(e); process.exit(1) })
