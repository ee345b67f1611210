package serve

import "testing"

// The short form of a further liquid is asked for where a job has it, and nowhere else; each
// other field of a job stands in one group.
func TestSecondLiquidIsAskedForWhereItIsGiven(t *testing.T) {
	k := textFiles()["job"]
	for text, want := range map[string]int{"carrier: [urea]\n": 0, "second-liquid: {name: further liquid, loading: 64 fl oz/ton}\n": 1} {
		form := k.fields(inFile(k.written([]byte(text)).All()), []byte(text))
		asked := map[string]int{}
		for _, g := range groupsOf(k, form, nil) {
			for _, q := range g.Asks {
				asked[q.Name]++
			}
		}
		for _, q := range form {
			if n := asked[q.Name]; q.Name != "second-liquid" && n != 1 {
				t.Errorf("%s: %s is asked for %d times", text, q.Name, n)
			}
		}
		if asked["second-liquid"] != want {
			t.Errorf("%s: second-liquid is asked for %d times, want %d", text, asked["second-liquid"], want)
		}
	}
}

// One rate that stands for both ends is shown as each of them.
func TestOneRateIsShownAsBoth(t *testing.T) {
	k, text := textFiles()["label"], []byte("name: x\nrate: 30 fl oz/ac\n")
	for _, q := range k.fields(inFile(k.written(text).All()), text) {
		if q.Name == "rate" && (!q.Given || q.Parts[0].Value != "30" || q.Parts[0].Unit != "fl oz/ac" || q.Parts[1].Value != "30") {
			t.Errorf("given %t: %+v", q.Given, q.Parts)
		}
	}
}
