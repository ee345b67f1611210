package app

import (
	"reflect"
	"testing"
)

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
