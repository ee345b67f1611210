package write

import (
	"bytes"
	"io"
	"sync"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/shapefile"
)

// Numbers is a column of numbers of a layer, NaN for none.
type Numbers struct {
	Name  string
	Value func(row int) float64
}

// LayerFiles are the files of a layer in lon/lat, as GeoJSON and as a shapefile.
func LayerFiles(name string, shapes *geo.Shapes, numbers []Numbers) []Extra {
	rows := shapes.Len()
	var cols []geo.Column
	for _, n := range numbers {
		cols = append(cols, computed(n.Name, rows, func(row int) float64 { return round12(n.Value(row)) }))
	}
	parts := sync.OnceValues(func() (parts [3]bytes.Buffer, err error) {
		err = shapefile.Write(&parts[0], &parts[1], &parts[2], shapes, cols)
		return parts, err
	})
	list := []Extra{
		{name + ".geojson", func(w io.Writer) error {
			return geojson.Write(w, name, shapes, func(row int) int64 { return int64(row + 1) }, cols)
		}},
		{name + ".prj", text(crs.WGS84().WKT())},
		{name + ".cpg", text(shapefile.CPG)},
	}
	for i, ending := range []string{".shp", ".shx", ".dbf"} {
		list = append(list, Extra{name + ending, func(w io.Writer) error {
			p, err := parts()
			if err == nil {
				_, err = w.Write(p[i].Bytes())
			}
			return err
		}})
	}
	return list
}
