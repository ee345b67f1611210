package data

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// KML prints a layer of the plan for a look at it on a phone or a globe: a
// placemark for each record, colored by its rate. Machines take the shapefile.
// [OGC 12-007r2, KML 2.3, of which only what KML 2.2 has is used]
func KML(w io.Writer, r report.Result, layer int) error {
	l := &r.Plan.Layers[layer]
	k := kmlWriter{buf: bufio.NewWriterSize(w, 1<<16), r: r, l: l, q: figures.In(r.Units)}
	if l.Product == rx.Liquid {
		k.steps, k.colors = svg.NewSteps(l.Liquid.Min.In(r.Units), l.Liquid.Max.In(r.Units)), svg.LiquidColors
	} else {
		k.steps, k.colors = svg.NewSteps(l.Dry.Min.In(r.Units), l.Dry.Max.In(r.Units)), svg.DryColors
	}
	k.head()
	if l.Product == rx.Liquid {
		k.pieces()
	} else {
		k.zones()
	}
	k.text("</Document></kml>\n")
	return k.buf.Flush()
}

// kmlWriter writes placemarks one by one: there may be a million. Errors of the
// writer stand until Flush.
type kmlWriter struct {
	buf    *bufio.Writer
	r      report.Result
	l      *rx.Layer
	q      figures.Quantities
	steps  svg.Steps
	colors func(n int) []string
	digits []byte
}

func (k *kmlWriter) text(s string) { k.buf.WriteString(s) }

// escaped writes a text from outside.
func (k *kmlWriter) escaped(s string) { xml.EscapeText(k.buf, []byte(s)) }

// head writes the document's name and the styles: class 0 and up by rate, then one
// for ground at rate 0 or without a rate.
func (k *kmlWriter) head() {
	k.text(xml.Header + `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>`)
	k.escaped(k.r.Prescription.Source.Name + ", layer " + k.l.Name)
	k.text("</name><description>")
	k.escaped("For a look only. The label in hand comes first.")
	k.text("</description>\n")
	for i, color := range k.colors(k.steps.N) {
		k.style(i, "c0"+reverse(color))
	}
	k.style(k.steps.N, "40ffffff")
}

func (k *kmlWriter) style(i int, fill string) {
	k.text(fmt.Sprintf("<Style id=\"s%d\"><LineStyle><color>ff404040</color><width>1</width></LineStyle><PolyStyle><color>%s</color></PolyStyle></Style>\n", i, fill))
}

// reverse turns "#rrggbb" into the order of KML, bbggrr.
func reverse(color string) string { return color[5:7] + color[3:5] + color[1:3] }

// zones writes a dry layer.
func (k *kmlWriter) zones() {
	symbol := unit.Symbol[unit.DryRate](k.q.System)
	for i, z := range k.r.Prescription.Zones {
		rate := k.l.DryRate(k.r.Prescription, i)
		style, text := k.steps.N, "no rate"
		if !math.IsNaN(float64(rate)) {
			text = k.q.Dry(rate) + " " + symbol
		}
		if rate > 0 {
			style = k.steps.Of(rate.In(k.q.System))
		}
		k.placemark(fmt.Sprintf("Zone %d", z.Number()), text+", "+k.q.Area(z.Area)+" "+unit.Symbol[unit.Area](k.q.System), style, k.r.Prescription.LonLat, int(z.Record))
	}
}

// pieces writes a liquid layer.
func (k *kmlWriter) pieces() {
	text := k.q.Plain(k.l.Rate) + " " + unit.Symbol[unit.LiquidRate](k.q.System)
	for i := range k.l.Pieces.Len() {
		if i >= k.l.Pieces.Len()-k.l.Untreated {
			k.placemark(fmt.Sprintf("Untreated strip %d", i+1-k.l.Pieces.Len()+k.l.Untreated), "no liquid, on purpose", k.steps.N, k.l.Pieces, i)
			continue
		}
		k.placemark(fmt.Sprintf("Piece %d", i+1), text+", "+k.q.Area(k.l.PieceArea[i])+" "+unit.Symbol[unit.Area](k.q.System), 0, k.l.Pieces, i)
	}
}

func (k *kmlWriter) placemark(name, text string, style int, shapes *geo.Shapes, record int) {
	k.text("<Placemark><name>")
	k.escaped(name)
	k.text("</name><description>")
	k.escaped(text)
	k.text("</description><styleUrl>#s" + strconv.Itoa(style) + "</styleUrl><MultiGeometry>")
	from, to := shapes.PolySpan(record)
	for p := from; p < to; p++ {
		k.text("<Polygon>")
		first, end := shapes.RingSpan(p)
		for ring := first; ring < end; ring++ {
			side, turn := "inner", orb.CW
			if ring == first {
				side, turn = "outer", orb.CCW
			}
			k.text("<" + side + "BoundaryIs><LinearRing><coordinates>")
			k.ring(shapes.Ring(ring), turn)
			k.text("</coordinates></LinearRing></" + side + "BoundaryIs>")
		}
		k.text("</Polygon>")
	}
	k.text("</MultiGeometry></Placemark>\n")
}

// kmlDecimals are those of a degree that a look needs: 1e-7° is 11 mm at most.
const kmlDecimals = 7

// ring writes longitude and latitude, the way round that is asked for.
func (k *kmlWriter) ring(ring orb.Ring, turn orb.Orientation) {
	back := ring.Orientation() != turn
	for i, p := range ring {
		if back {
			p = ring[len(ring)-1-i]
		}
		d := k.digits[:0]
		if i > 0 {
			d = append(d, ' ')
		}
		d = strconv.AppendFloat(d, p[0], 'f', kmlDecimals, 64)
		d = append(d, ',')
		d = strconv.AppendFloat(d, p[1], 'f', kmlDecimals, 64)
		k.buf.Write(d)
		k.digits = d
	}
}
