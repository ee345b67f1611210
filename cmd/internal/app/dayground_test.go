package app

import (
	"math"
	"reflect"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// A cell counts for the zone that its center lies in, where that is treated; cells of any field are those
// of one grid. A field of more than a million cells, of 1024 by 1024, and one without ground are not laid out.
func TestCellsOfTreatedZones(t *testing.T) {
	field := func(rates []unit.DryRate, boxes ...[4]float64) *rx.Prescription {
		p := &rx.Prescription{LonLat: &geo.Shapes{}}
		for i, b := range boxes { // west, south, east, north, in cells
			for k := range b {
				b[k] *= groundCell
			}
			p.LonLat.Append(orb.MultiPolygon{{{{b[0], b[1]}, {b[2], b[1]}, {b[2], b[3]}, {b[0], b[3]}, {b[0], b[1]}}}})
			p.Zones = append(p.Zones, rx.Zone{Record: int32(i), Dry: rates[i], Carrier: rates[i]})
		}
		return p
	}
	// Centers at 10.5, 12.5, -4.5 and -1.5 lie outside of the first zone.
	got := cellsOf(field([]unit.DryRate{100, 0, 200}, [4]float64{-4.4, 10.6, -1.6, 12.4}, [4]float64{-1.6, 10.6, 1.4, 12.4}, [4]float64{5.1, 11.1, 5.9, 11.9}))
	want := []int64{11<<32 - 4, 11<<32 - 3, 11<<32 + 5}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the cells are %v, want %v", got, want)
	}
	for side, laid := range map[float64]bool{1023.9: true, 1024.1: false} {
		p := field([]unit.DryRate{100}, [4]float64{0.05, 0.05, side, side})
		if got := len(cellsOf(p)) > 0; got != laid {
			t.Errorf("a field of %v cells on a side is laid out: %t", math.Ceil(side), got)
		}
	}
	if got := cellsOf(field(nil)); got != nil {
		t.Errorf("no ground has cells %v", got)
	}
}

// Fields that hang together by the ground they share are asked about once, not pair by pair.
func TestSameGroundIsAskedOnce(t *testing.T) {
	field := func(bytes string, cells ...int64) *dayField { return &dayField{bytes: bytes, cells: cells} }
	asks := onSameGround([]*dayField{
		field("a", 1, 2, 3, 4), field("b", 11, 12), field("c", 3, 4, 5), field("d"), field("e", 12, 13, 14, 15),
		field("f", 4, 5, 6, 7, 8), field("g", 20), field("b", 11, 12), field("h"), field("i", 20, 21, 22),
		field("j", 30), field("k", 30, 31), field("l", 1, 2, 3, 4, 20), // l joins what stood apart
	})
	var got [][]int
	for _, a := range asks {
		got = append(got, a.Fields)
	}
	if want := [][]int{{0, 2, 5, 6, 9, 12}, {10, 11}}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
