package main

import (
	"encoding/json"
	"fmt"
	"log"
	"math"
	"os"
	"path/filepath"
)

// shapes measures how the cost of ground that is dear to look at grows with its vertices:
// the processor seconds of check and split at each size, and the exponent of their growth
// from the second size to the last, where what every run costs no longer counts.
func shapes() {
	sizes := []int{1_000, 10_000, 20_000, 40_000, 80_000}
	for _, f := range []struct {
		name string
		make func(vertices int) [][][2]float64
	}{{"comb", comb}, {"star", star}, {"spiral", spiral}, {"stripes", stripes}} {
		for _, command := range []string{"check", "split"} {
			row := fmt.Sprintf("| %s of 1k to 80k vertices | %s |", f.name, command)
			var costs []float64
			var memory float64
			for _, n := range sizes {
				writeRings("shape.geojson", f.make(n))
				args := []string{"./rxsplit", command, "shape.geojson", "--job", "shape-job.yaml"}
				if command == "split" {
					args = append(args, "--out", "out")
				}
				var figures []figure
				for range *runs {
					figures = append(figures, job{steps: [][]string{args}}.run())
				}
				costs = append(costs, median(figures, func(f figure) float64 { return f.cpu }))
				memory = median(figures, func(f figure) float64 { return f.megabytes })
				row += fmt.Sprintf(" %.2f", costs[len(costs)-1])
			}
			last := len(sizes) - 1
			grows := math.Log(costs[last]/costs[1]) / math.Log(float64(sizes[last])/float64(sizes[1]))
			fmt.Printf("%s | %.0f | exponent %.2f |\n", row, memory, grows)
		}
	}
}

// writeRings writes a record a ring, with rates in turn, and the job beside it: with a
// spreader and a boom, whose widths have narrow ground looked for.
func writeRings(name string, rings [][][2]float64) {
	const lon, lat = -96.0, 41.0 // meters around there
	perX, perY := 111_320*math.Cos(lat*math.Pi/180), 111_132.0
	type feature map[string]any
	var features []feature
	for i, ring := range rings {
		out := make([][2]float64, 0, len(ring)+1)
		for _, p := range append(ring, ring[0]) {
			out = append(out, [2]float64{math.Round((lon+p[0]/perX)*1e9) / 1e9, math.Round((lat+p[1]/perY)*1e9) / 1e9})
		}
		features = append(features, feature{
			"type": "Feature", "properties": feature{"DRY_LBAC": []int{100, 200, 400}[(i+1)%3]},
			"geometry": feature{"type": "Polygon", "coordinates": [][][2]float64{out}},
		})
	}
	text, err := json.Marshal(feature{"type": "FeatureCollection", "features": features})
	if err == nil {
		err = os.WriteFile(filepath.Join(*work, name), text, 0o666)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(*work, "shape-job.yaml"), []byte(shapeJob), 0o666)
	}
	if err != nil {
		log.Fatal(err)
	}
}

const shapeJob = `label: label.yaml
rate-field: [DRY_LBAC]
rate-unit: lb/ac
spreader:
  swath: 70 ft
  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}
boom:
  width: 70 ft
  spacing: 20 in
  volume: 10 gal/ac
  tank: 500 gal
  nozzles: ["04", "05", "06"]
  pressure: {min: 20 psi, max: 70 psi}
  speed: {low: 11 mph, usual: 15 mph, high: 18 mph}
`

func comb(vertices int) [][][2]float64 {
	teeth := vertices / 4
	wide := max(8000/float64(teeth), 0.2)
	var ring [][2]float64
	for i := range teeth {
		x, back := wide*float64(i), 0.0
		if i == 0 {
			back = -20
		}
		ring = append(ring, [2]float64{x, back}, [2]float64{x, 800}, [2]float64{x + wide/2, 800}, [2]float64{x + wide/2, 0})
	}
	return [][][2]float64{append(ring, [2]float64{wide * (float64(teeth) - 0.5), -20})}
}

func star(vertices int) [][][2]float64 {
	var ring [][2]float64
	for i := range vertices {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(vertices))
		far := 100 + 700*float64(i%2)
		ring = append(ring, [2]float64{far * cos, far * sin})
	}
	return [][][2]float64{ring}
}

// spiral is a corridor of 10 m that winds 40 times around, or less where its corners are too
// few for that.
func spiral(vertices int) [][][2]float64 {
	n, turns := vertices/2, min(40, float64(vertices)/100)
	ring := make([][2]float64, 2*n)
	for i := range n {
		turn := turns * float64(i) / float64(n-1)
		sin, cos := math.Sincos(2 * math.Pi * turn)
		far := 30 + 20*turn
		ring[i] = [2]float64{(far + 10) * cos, (far + 10) * sin}
		ring[2*n-1-i] = [2]float64{far * cos, far * sin}
	}
	return [][][2]float64{ring}
}

// stripes slant beside one another, so that their boxes all meet.
func stripes(vertices int) [][][2]float64 {
	var rings [][][2]float64
	n := vertices / 4
	wide := min(3, 9000/float64(n))
	for i := range n {
		x := wide * float64(i)
		rings = append(rings, [][2]float64{{x, 0}, {x + wide/2, 0}, {x + wide/2 + 900, 900}, {x + 900, 900}})
	}
	return rings
}
