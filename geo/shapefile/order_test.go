package shapefile

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/oracle"
)

// fiveCells are squares at x = 0, 10, 20, 30, 40.
func fiveCells(t testing.TB) Files {
	s := &geo.Shapes{}
	for i := range 5 {
		s.Append(orb.MultiPolygon{{square(10*float64(i), 0, 5)}})
	}
	return encoded(t, "cells", s, rates())
}

// moved returns f with the shapes in another order in the .shp; the .shx leads to
// them in the old order. The records' numbers are what number says.
func moved(f Files, to []int, number func(i int) uint32) Files {
	f = f.clone()
	const size = 136
	shp := f.Shp[:headerSize:headerSize]
	for place, i := range to {
		putBig(f.Shp, headerSize+size*i, number(i))
		shp = append(shp, f.Shp[headerSize+size*i:headerSize+size*(i+1)]...)
		putBig(f.Shx, headerSize+indexEntrySize*i, uint32(headerSize+size*place)/2)
	}
	f.Shp = shp
	return f
}

func xs(layer *geo.Layer) (list []float64) {
	for i := range layer.Shapes.Len() {
		list = append(list, layer.Shapes.Bound(i).Min[0])
	}
	return list
}

var backwards = []int{4, 3, 2, 1, 0}

var orders = []struct {
	name    string
	change  func(f Files) Files
	xs      []float64 // nil: refused
	remarks []string
	ogr     bool // GDAL reads the same order
}{
	{"in order", func(f Files) Files { return f }, []float64{0, 10, 20, 30, 40}, nil, true},
	{"backwards, numbers agree", func(f Files) Files {
		return moved(f, backwards, func(i int) uint32 { return uint32(i) + 1 })
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-order"}, true},
	{"backwards, numbers by place", func(f Files) Files {
		return moved(f, backwards, func(i int) uint32 { return 5 - uint32(i) })
	}, nil, nil, false},
	{"an old record left behind", func(f Files) Files {
		f = f.clone()
		f.Shp = append(f.Shp, f.Shp[headerSize:headerSize+136]...)
		putFloat(f.Shp, len(f.Shp)-128+4, 50)
		for _, at := range []int{48, 64, 80, 96, 112} {
			putFloat(f.Shp, len(f.Shp)-128+at, 50)
		}
		putFloat(f.Shp, len(f.Shp)-128+80, 55)
		putFloat(f.Shp, len(f.Shp)-128+96, 55)
		putBig(f.Shp, 24, uint32(len(f.Shp)/2))
		putBig(f.Shx, headerSize, uint32(headerSize+5*136)/2)
		return f
	}, []float64{50, 10, 20, 30, 40}, []string{"shx-order"}, true},
	{"a gap between records", func(f Files) Files {
		f = f.clone()
		gap := headerSize + 2*136
		f.Shp = slices.Insert(f.Shp, gap, make([]byte, 32)...)
		putBig(f.Shp, 24, uint32(len(f.Shp)/2))
		for i := 2; i < 5; i++ {
			putBig(f.Shx, headerSize+indexEntrySize*i, uint32(headerSize+136*i+32)/2)
		}
		return f
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-order"}, true},
	{"no .shx", func(f Files) Files { f.Shx = nil; return f }, []float64{0, 10, 20, 30, 40}, []string{"shx-missing"}, false},
	{"numbers from 0", func(f Files) Files {
		return moved(f, []int{0, 1, 2, 3, 4}, func(i int) uint32 { return uint32(i) })
	}, []float64{0, 10, 20, 30, 40}, nil, true},
	{"no .shx and odd numbers", func(f Files) Files {
		f = moved(f, backwards, func(i int) uint32 { return uint32(i) + 1 })
		f.Shx = nil
		return f
	}, []float64{40, 30, 20, 10, 0}, []string{"shx-missing", "record-numbers"}, false},
	{"a .shx that points beside records", func(f Files) Files {
		f = f.clone()
		putBig(f.Shx, headerSize+indexEntrySize, 52)
		return f
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-differs"}, false},
	{"a .shx that points outside", func(f Files) Files {
		f = f.clone()
		putBig(f.Shx, headerSize+indexEntrySize, 1<<31)
		return f
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-differs"}, false},
	{"a .shx with other lengths", func(f Files) Files {
		f = f.clone()
		putBig(f.Shx, headerSize+4, 60)
		return f
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-differs"}, false},
	{"two entries for one record", func(f Files) Files {
		f = f.clone()
		copy(f.Shx[headerSize+indexEntrySize:], f.Shx[headerSize:headerSize+indexEntrySize])
		return f
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-differs"}, false},
	{"a .shx of four records", func(f Files) Files {
		f = f.clone()
		f.Shx = f.Shx[:len(f.Shx)-indexEntrySize]
		putBig(f.Shx, 24, uint32(len(f.Shx)/2))
		return f
	}, []float64{0, 10, 20, 30, 40}, []string{"shx-differs"}, false},
}

func TestOrderOfRecords(t *testing.T) {
	for _, o := range orders {
		t.Run(o.name, func(t *testing.T) {
			layer, err := Decode(o.change(fiveCells(t)))
			if o.xs == nil {
				var bad *geo.BadFileError
				if !errors.As(err, &bad) || !strings.Contains(bad.Bad[0].Why, "another order") || bad.Hint == "" {
					t.Fatalf("got %v, want it refused for its order", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := xs(layer); !slices.Equal(got, o.xs) {
				t.Errorf("records at x = %v, want %v", got, o.xs)
			}
			if got := rules(layer.Remarks); !slices.Equal(got, o.remarks) {
				t.Errorf("remarks %v, want %v", got, o.remarks)
			}
		})
	}
}

func TestOrderIsThatOfGDAL(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	for _, o := range orders {
		if !o.ogr {
			continue
		}
		f := o.change(fiveCells(t))
		shp := save(t, t.TempDir(), f)
		var got []float64
		for _, mp := range ogrPolygons(t, filepath.Clean(shp)) {
			got = append(got, mp.Bound().Min[0])
		}
		if !slices.Equal(got, o.xs) {
			t.Errorf("%s: GDAL reads records at x = %v, want %v", o.name, got, o.xs)
		}
	}
}
