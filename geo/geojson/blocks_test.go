package geojson

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
)

// samples are whole texts, good and bad: the files of testdata and some that
// hold one of each oddity.
func samples(t testing.TB) map[string][]byte {
	t.Helper()
	texts := make(map[string][]byte)
	for _, pattern := range []string{"*.geojson", "*.geojsonl"} {
		names, err := filepath.Glob(filepath.Join("testdata", pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			texts[filepath.Base(name)] = text
		}
	}
	if len(texts) == 0 {
		t.Fatal("testdata holds no GeoJSON")
	}
	a := `{"type":"Feature","id":1,"properties":{"RATE":120,"N":"a \"}]\" \\"},"geometry":` + polygonText(square) + `}`
	b := "{\"geometry\":" + polygonText(`[[[0,0,1],[1,0,1],[1,1,1]]]`) + ",\n\"properties\":{\"Z\":[{\"q\":\"{\"}],\"RATE\":7.5},\"type\":\"Feature\"}"
	texts["oddities"] = []byte(" {\"type\":\"FeatureCollection\",\"crs\":null,\"x\":\"{[\\\\\",\"features\": [\n" + a + " ,\n" + b + ",\n" + a + "\n] ,\"name\":\"x\"}\n")
	texts["lines"] = []byte(a + "\n" + strings.ReplaceAll(b, "\n", "") + "\n" + a)
	texts["sequence"] = []byte("\x1e" + a + "\n\x1e" + b + "\n")
	texts["single"] = []byte("\ufeff" + b)
	texts["bad records"] = []byte(collection(a, "5", b, feature(polygonText(`[[[1]]]`)), a))
	texts["bad JSON"] = []byte(collection(a, b, "7", strings.Replace(a, ":120", ":0120", 1), a, "8"))
	texts["breaks off"] = []byte(collection(a, b, a))[:300]
	texts["garbage behind"] = []byte(collection(a, b, a) + "\n\nx")
	return texts
}

func TestBlocksAndCoresDontShow(t *testing.T) {
	for name, text := range samples(t) {
		want := describe(decode(bytes.NewReader(text), "f", blockSize, 1))
		for _, workers := range []int{1, 2, 4} {
			for _, block := range []int{1, 2, 3, 7, 16, 61, 128, 500, 4096} {
				if block < 16 && len(text) > 10_000 {
					continue
				}
				if got := describe(decode(bytes.NewReader(text), "f", block, workers)); got != want {
					t.Errorf("%s: blocks of %d on %d workers: got\n%.500s\nwant\n%.500s", name, block, workers, got, want)
				}
			}
		}
		for kind, r := range map[string]io.Reader{
			"one byte a read": iotest.OneByteReader(bytes.NewReader(text)),
			"data with EOF":   iotest.DataErrReader(bytes.NewReader(text)),
		} {
			if got := describe(decode(r, "f", 100, 2)); got != want {
				t.Errorf("%s: %s: got\n%.500s\nwant\n%.500s", name, kind, got, want)
			}
		}
	}
}

// Each start of a text is refused, except those that only lack white space, and
// those of sequences, which may end behind any object.
func TestTruncatedTextsAreRefused(t *testing.T) {
	for name, text := range samples(t) {
		if name == "lines" || name == "sequence" || strings.HasSuffix(name, "l") {
			continue
		}
		text = bytes.TrimRight(text, "\n x")
		for i := range 20 {
			cut := text[:len(text)*i/20]
			if _, err := decode(bytes.NewReader(cut), "f", 256, 2); err == nil {
				t.Errorf("%s: the first %d of %d bytes are taken for a whole text", name, len(cut), len(text))
			}
		}
	}
}
