package split

import (
	"testing"

	"rxsplit/rx/equip"
)

// Every way that can be asked for is worked out, and none else; both lists have one
// order, by which ways that are equal are shown.
func TestMethodsAreThoseOfTheRegistry(t *testing.T) {
	ways, all := equip.Ways(), methods()
	if len(ways) != len(all) {
		t.Fatalf("%d ways can be asked for, %d are worked out", len(ways), len(all))
	}
	for i, w := range ways {
		if all[i].name != w.Name {
			t.Errorf("way %d is called %s and worked out as %s", i+1, w.Name, all[i].name)
		}
		if w.Title == "" || w.Help == "" {
			t.Errorf("%s has no title or no help", w.Name)
		}
	}
}
