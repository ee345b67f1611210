package oracle

import "testing"

// Nothing is asked unless the environment says so, not even what is installed.
func TestOnlyWhatIsAskedForRuns(t *testing.T) {
	for _, c := range []struct {
		value, tool string
		skips       bool
	}{{"", "go", true}, {"1", "go", false}, {"require", "go", false}, {"1", "no-such-program", true}} {
		t.Run(c.value+" "+c.tool, func(t *testing.T) {
			t.Setenv(variable, c.value)
			defer func() {
				if t.Skipped() != c.skips {
					t.Errorf("skipped: %v, want %v", t.Skipped(), c.skips)
				}
			}()
			Tool(t, c.tool)
		})
	}
}
