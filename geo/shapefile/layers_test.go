package shapefile

import (
	"bytes"
	"math"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// grid makes n square cells in rows of 1000, wound as the format asks.
//
//	3 --- 2
//	|     |     0 1 2 3 clockwise from the lower left: 0 3 2 1 0
//	0 --- 1
func grid(n int) *geo.Shapes {
	s := &geo.Shapes{}
	for i := range n {
		x, y := -93+float64(i%1000)*1e-4, 41+float64(i/1000)*1e-4
		s.Append(orb.MultiPolygon{{square(x, y, 1e-4)}})
	}
	return s
}

// square is a clockwise ring, the lower left corner first.
func square(x, y, side float64) orb.Ring {
	return orb.Ring{{x, y}, {x, y + side}, {x + side, y + side}, {x + side, y}, {x, y}}
}

func reversed(r orb.Ring) orb.Ring {
	r = append(orb.Ring(nil), r...)
	r.Reverse()
	return r
}

// rates are two columns whose text is known from the row.
func rates() []geo.Column {
	return []geo.Column{
		{Name: "ZONE", Width: 7, Text: func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(row)+1, 10) }},
		{Name: "RATE", Width: 12, Decimals: 3, Text: func(dst []byte, row int) []byte {
			return strconv.AppendFloat(dst, rateOf(row), 'f', 3, 64)
		}},
	}
}

func rateOf(row int) float64 { return math.Round((100+float64(row%977)*0.125)*1000) / 1000 }

// encoded writes a layer and returns its parts.
func encoded(t testing.TB, name string, shapes *geo.Shapes, cols []geo.Column) Files {
	t.Helper()
	var shp, shx, dbf bytes.Buffer
	if err := Write(&shp, &shx, &dbf, shapes, cols); err != nil {
		t.Fatal(err)
	}
	return Files{Name: name, Shp: shp.Bytes(), Shx: shx.Bytes(), Dbf: dbf.Bytes(), Cpg: []byte(CPG)}
}

func mustDecode(t testing.TB, f Files) *geo.Layer {
	t.Helper()
	layer, err := Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return layer
}

func rules(remarks []geo.Remark) (list []string) {
	for _, r := range remarks {
		list = append(list, r.Rule)
	}
	return list
}
