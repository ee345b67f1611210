package page

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/internal/oracle/browser"
	"rxsplit/rx"
)

// graySample is how wide and high a class is drawn to be looked at, in pixels.
const graySample = 60

// tellsClassesApartInGray draws the classes of each map, of what lies on ground anywhere, and
// the bands of the cards without color: any two of a map, and any two bands, differ, pixel by
// pixel, by a twentieth of the way from black to white in CIE lightness, in tone or in pattern.
// (Half of that is told apart side by side: common practice, no source.)
func tellsClassesApartInGray(t *testing.T, tab context.Context) {
	for _, way := range []rx.WayName{rx.Loads, rx.Base, rx.Refit, rx.WetBoom} {
		browser.Do(t, tab, chromedp.EmulateViewport(graySample*9, graySample*20))
		open(t, tab, reporttest.Plan(t, reporttest.Contours(t), way), "")
		groups := browser.Evaluate[[][]string](t, tab, fmt.Sprintf(layOutInGray, graySample, []string{
			svg.NoDry.Fill(), svg.NoRate.Fill(), svg.Below.Fill(), svg.Within.Fill(), svg.Above.Fill(), svg.Season.Fill(), svg.KeepOut.Fill(),
		}, "twice the same", bands))
		picture, err := chromedp.Run(tab, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(picture))
		if err != nil {
			t.Fatal(err)
		}
		if len(groups) < 5 {
			t.Errorf("way %q: only %d groups", way, len(groups))
		}
		for row, group := range groups {
			for a := 1; a < len(group); a++ {
				for b := 1; b < a; b++ {
					d := grayDifference(img, a-1, b-1, row)
					if blind := group[0] == "twice the same"; blind != (d < 5) {
						t.Errorf("way %q, %s: %q and %q are %.1f apart", way, group[0], group[a], group[b], d)
					}
				}
			}
		}
	}
}

// layOutInGray shows one group a row, without color, and returns their names. The last row has
// two colors of one luminance, which the test must not tell apart.
const layOutInGray = `(() => {
	const size = %d, ground = "%s".slice(1, -1).split(" "), same = "%s", bands = %d, groups = [], root = document.createElement("div");
	const place = (e, x) => { Object.assign(e.style, {position: "absolute", left: x * size + "px", top: groups.length * size + "px", width: size + "px", height: size + "px", margin: 0, padding: 0}); root.append(e); };
	const svg = (fill, x) => { const e = document.createElement("div"); e.innerHTML = '<svg width="100%%" height="100%%" viewBox="0 0 600 600"><rect width="600" height="600" fill="' + fill + '"/></svg>'; place(e, x); };
	const add = (name, fills, names) => { fills.forEach(svg); groups.push([name, ...names]); };
	for (const figure of document.querySelectorAll("figure.map")) {
		const rows = [...figure.querySelectorAll(".legend tbody th")].filter(r => r.querySelector("rect"));
		add(figure.id, rows.map(r => r.querySelector("rect").getAttribute("fill")), rows.map(r => r.textContent.trim())); }
	add("on the ground", ground, ground);
	for (let x = 0; x < bands; x++) { const e = document.createElement("div"); e.className = "top-of-card band-" + x; place(e, x); e.style.borderWidth = "0 0 0 " + size / 2 + "px"; }
	groups.push(["bands", ...Array(bands).keys().map(x => "band " + x)]);
	add(same, ["#c83232", "#525252"], ["red", "gray"]);
	for (const e of [...document.body.children]) if (!e.querySelector("pattern")) e.remove();
	document.body.append(root);
	document.documentElement.style.cssText = "filter: grayscale(1); background: #fff"; document.body.style.cssText = "background: #fff; margin: 0; padding: 0; max-width: none";
	scrollTo(0, 0); return groups; })()`

// grayDifference is the mean difference of two samples of a row, in CIE lightness.
func grayDifference(img image.Image, a, b, row int) (mean float64) {
	const edge = 2 // pixels that are not looked at
	n := 0
	for y := row*graySample + edge; y < (row+1)*graySample-edge; y++ {
		for x := edge; x < graySample-edge; x++ {
			mean += math.Abs(lightness(img.At(a*graySample+x, y)) - lightness(img.At(b*graySample+x, y)))
			n++
		}
	}
	return mean / float64(n)
}

// lightness is CIE 1976 L*, of a gray of sRGB (IEC 61966-2-1).
func lightness(c color.Color) float64 {
	v := float64(color.GrayModel.Convert(c).(color.Gray).Y) / 255
	if v <= 0.04045 {
		v /= 12.92
	} else {
		v = math.Pow((v+0.055)/1.055, 2.4)
	}
	if v <= 0.008856 {
		return 903.3 * v
	}
	return 116*math.Cbrt(v) - 16
}
