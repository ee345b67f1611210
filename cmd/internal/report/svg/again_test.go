package svg

import "testing"

// Every zone is drawn once again, in the class that it is of, but for those too small to see.
func TestZonesAreDrawnAgainInTheirClasses(t *testing.T) {
	d := &Drawer{ground: Ground{Number: func(zone int) int { return 10 + zone }}, shapes: []string{"M0,0Z", "M1,1Z", "", "M2,2Z"}}
	got := d.Again(Map{Fills: []string{"red", "blue", "gray"}, Class: []uint8{1, 0, 1, 1}})
	if want := `<g fill="red"><use href="#z11"/></g><g fill="blue"><use href="#z10"/><use href="#z13"/></g>`; string(got) != want {
		t.Errorf("%s, want %s", got, want)
	}
}
