package report

import (
	"io"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/rx"
)

// mostPage is what a mail attachment of a page may weigh.
const mostPage = 3_000_000

func TestPageOfManyCellsIsSmall(t *testing.T) {
	for _, test := range []struct {
		name  string
		layer *invent.Layer
	}{
		{"square", grid(t, 100_000, 0)},
		{"turned", grid(t, 100_000, 12)},
		{"noisy rates", scattered(grid(t, 100_000, 12))},
	} {
		r := resultOf(t, test.layer, "")
		page := pageOf(t, r)
		t.Logf("%s: %d bytes", test.name, len(page))
		if len(page) > mostPage {
			t.Errorf("%s: page of %d bytes", test.name, len(page))
		}
	}
}

// scattered gives neighbors rates that have nothing to do with each other, so that
// hardly any can be joined.
func scattered(l *invent.Layer) *invent.Layer {
	for i := range l.Rates {
		l.Rates[i] = float64(90 + i*7919%211)
	}
	return l
}

func BenchmarkPage(b *testing.B) {
	r := resultOf(b, grid(b, 100_000, 12), rx.Loads)
	b.ResetTimer()
	for b.Loop() {
		if err := Page(io.Discard, r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPageScattered(b *testing.B) {
	r := resultOf(b, scattered(grid(b, 100_000, 12)), rx.Loads)
	b.ResetTimer()
	for b.Loop() {
		if err := Page(io.Discard, r); err != nil {
			b.Fatal(err)
		}
	}
}
