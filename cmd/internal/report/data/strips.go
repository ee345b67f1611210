package data

import (
	"bytes"
	"fmt"
	"io"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// StripsName is the file of a plan that holds its strips as a read-out takes them.
const StripsName = "strips.geojson"

// stripsJSON are the untreated strips of a plan.
type stripsJSON struct {
	Seed       uint64      `json:"seed"`
	Azimuth    float64     `json:"azimuth"`
	Offset     float64     `json:"offset"`
	Width      float64     `json:"width"`
	ReadLength float64     `json:"read_length"`
	End        float64     `json:"end"` // at each end, untreated and not read
	Headland   float64     `json:"headland"`
	Header     float64     `json:"header,omitempty"`
	Places     int         `json:"places"`
	Most       int         `json:"most"`
	Area       float64     `json:"area"`
	ReadArea   float64     `json:"read_area"`
	Strips     []stripJSON `json:"strips"`
}

type stripJSON struct {
	Rep     int     `json:"rep"`
	Pass    int     `json:"pass"`
	Area    float64 `json:"area"`
	Dry     float64 `json:"dry_rate"`
	DrySide float64 `json:"dry_rate_beside"`
}

// Strips prints where strips were left untreated, and how they were drawn.
func Strips(s *rx.Strips, u unit.System) ([]byte, error) {
	out := stripsJSON{
		Seed: s.Seed, Azimuth: s.Azimuth, Offset: s.Offset.In(u), Width: s.Width.In(u), ReadLength: s.Length.In(u), End: s.Ends.In(u),
		Headland: s.Headland.In(u), Header: s.Header.In(u), Places: s.Places, Most: s.Most, Area: s.Area.In(u), ReadArea: s.Read.In(u),
	}
	for _, one := range s.List {
		out.Strips = append(out.Strips, stripJSON{one.Rep, one.Pass, one.Area.In(u), one.Dry.In(u), one.DrySide.In(u)})
	}
	return marshal(out)
}

// StripsGeoJSON writes what is read of the strips and of the treated ground beside them, as
// RFC 7946 asks for: three polygons a replicate.
func StripsGeoJSON(w io.Writer, s *rx.Strips) error {
	var b bytes.Buffer
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	add := func(rep, treated int, ground orb.Polygon) {
		if b.Bytes()[b.Len()-1] == '}' {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "\n"+`{"type":"Feature","properties":{"rep":%d,"treated":%d},"geometry":{"type":"Polygon","coordinates":[[`, rep, treated)
		for i, p := range ground[0] {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString("[" + strconv.FormatFloat(p[0], 'f', -1, 64) + "," + strconv.FormatFloat(p[1], 'f', -1, 64) + "]")
		}
		b.WriteString("]]}}")
	}
	for _, one := range s.List {
		add(one.Rep, 0, one.Read)
		add(one.Rep, 1, one.Beside[0])
		add(one.Rep, 1, one.Beside[1])
	}
	b.WriteString("\n]}\n")
	_, err := w.Write(b.Bytes())
	return err
}
