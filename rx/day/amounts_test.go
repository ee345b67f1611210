package day_test

import (
	"math"
	"slices"
	"testing"

	"rxsplit/rx/day"
)

// Where the larger size holds a whole number of the smaller, what is left over is least with
// as many small ones as cover the amount, and each of the larger takes the place of ratio small ones:
// n = ⌈amount/small⌉, larger = ⌊n/ratio⌋.
func TestPackagesOfTwoSizes(t *testing.T) {
	for _, sizes := range [][2]float64{{2.5, 265}, {1, 30}, {0.5, 2.5}} {
		ratio := int(math.Round(sizes[1] / sizes[0]))
		for step := 1; step < 3000; step += 7 {
			amount := float64(step) * 0.3
			n := int(math.Ceil(amount/sizes[0] - 1e-9))
			got, left := day.Packages(amount, sizes[:])
			counts := map[float64]int{}
			for _, p := range got {
				counts[p.Size] = p.Count
			}
			if counts[sizes[1]] != n/ratio || counts[sizes[0]] != n%ratio || math.Abs(left-(float64(n)*sizes[0]-amount)) > 1e-6 {
				t.Fatalf("%v in %v: %v, left %v; want %d large, %d small", amount, sizes, got, left, n/ratio, n%ratio)
			}
		}
	}
}

// Sizes that do not hold each other, worked by hand.
func TestPackages(t *testing.T) {
	for _, c := range []struct {
		amount float64
		sizes  []float64
		want   []day.Pack
		left   float64
	}{
		{8, []float64{3, 5}, []day.Pack{{Size: 5, Count: 1}, {Size: 3, Count: 1}}, 0},
		{9, []float64{5, 3, 3}, []day.Pack{{Size: 3, Count: 3}}, 0},
		{7, []float64{3, 5}, []day.Pack{{Size: 5, Count: 1}, {Size: 3, Count: 1}}, 1},
		{15, []float64{3, 5}, []day.Pack{{Size: 5, Count: 3}}, 0},
		{100, []float64{50, 30, 20}, []day.Pack{{Size: 50, Count: 2}}, 0},
		{0.3, []float64{0.1}, []day.Pack{{Size: 0.1, Count: 3}}, 0},
		{0, []float64{5}, nil, 0},
		{5, nil, nil, 0},
	} {
		got, left := day.Packages(c.amount, c.sizes)
		if !slices.Equal(got, c.want) || math.Abs(left-c.left) > 1e-9 {
			t.Errorf("%v in %v: %v, left %v", c.amount, c.sizes, got, left)
		}
	}
}
