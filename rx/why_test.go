package rx_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// Why there is no window, no dose or no room, in all ways that labels of 20 to 40 fl oz/ac and a
// second liquid can bring it about: the first text of each kind, each figure of which follows from
// the label beside it.
func TestWhyThereIsNone(t *testing.T) {
	var told []string
	kinds, figures := map[string]bool{}, regexp.MustCompile(`[\d.]+`)
	tell := func(what, why string) {
		if kind := figures.ReplaceAllString(why, "#"); why != "" && !kinds[kind] {
			kinds[kind] = true
			told = append(told, what+": "+why)
		}
	}
	second := func(label string, loading unit.Loading) []rx.JobLiquid {
		l := rx.JobLiquid{Name: "second", Intended: 4, On: equip.OnBlend, Loading: loading}
		if label != "" {
			l.Label = rxtest.Profile(t, "name: second\n"+label)
		}
		return []rx.JobLiquid{l}
	}
	for _, more := range []string{
		"", "season-max: 60 fl oz/ac\n", "max-liquid: 2 gal/ton\n", "max-liquid: 3 gal/ton\n", "min-dry-rate: 210 lb/ac\n", "season-max: 60 fl oz/ac\nmin-dry-rate: 251 lb/ac\n",
		"loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}\n", "loading: {min: 100 fl oz/ton, max: 200 fl oz/ton}\n", "loading: {min: 380 fl oz/ton, max: 500 fl oz/ton}\nmax-liquid: 3 gal/ton\n",
	} {
		for _, further := range [][]rx.JobLiquid{
			nil, rxtest.Further(64), rxtest.Further(300), rxtest.Further(600), second("", 0), second("", 90),
			second("rate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\n", 0), second("rate: {min: 2 fl oz/ac, max: 3 fl oz/ac}\nmin-dry-rate: 190 lb/ac\n", 64),
			second("rate: {min: 30 fl oz/ac, max: 38 fl oz/ac}\nmax-liquid: 5 gal/ton\n", 0), second("rate: {min: 1 fl oz/ac, max: 2 fl oz/ac}\nseason-max: 2.5 fl oz/ac\n", 8),
			second("rate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\nloading: {min: 50 fl oz/ton, max: 60 fl oz/ton}\n", 0),
		} {
			for _, applied := range []unit.LiquidRate{0, 28, 45} {
				terms := rxtest.Terms(rxtest.Label(t, more))
				terms.AlreadyApplied, terms.Further = applied, further
				name := strings.ReplaceAll(strings.TrimSpace(more), "\n", ", ")
				for _, l := range further {
					name = fmt.Sprintf("%s + %s", name, l.Name)
					if l.Label != nil {
						name += fmt.Sprintf(" of %v", l.Label.Rate)
					} else {
						name += fmt.Sprintf(" at %v", float64(l.Loading))
					}
				}
				what := func(of string) string {
					return strings.TrimSpace(fmt.Sprintf("%s, %v applied, %s", of, float64(applied), name))
				}
				_, why := terms.PassRange()
				tell(what("pass"), why)
				for _, dry := range []rx.Range[unit.DryRate]{{Min: 150, Max: 190}, {Min: 100, Max: 120}, {Min: 100, Max: 260}, {Min: 260, Max: 300}} {
					for _, e := range []unit.Ratio{0, 0.05} {
						_, why := terms.Windows(dry, e)
						tell(what(fmt.Sprintf("window of %v to %v, %v", float64(dry.Min), float64(dry.Max), float64(e))), why)
					}
					for _, dose := range []unit.Volume{100, 250, 322, 340} {
						load := rx.Load{Loading: 320, Further: terms.Fixed(320)[1:], Rates: dry}
						for k := range 1 + len(load.Further) {
							tell(what(fmt.Sprintf("dose %d of %v on %v to %v", k, float64(dose), float64(dry.Min), float64(dry.Max))), terms.WhyNotDose(load, k, unit.Ton, dose))
						}
					}
				}
				for _, loading := range []unit.Loading{100, 320, 500} {
					_, why := terms.DryWindow(terms.Fixed(loading)...)
					tell(what(fmt.Sprintf("dry at %v", float64(loading))), why)
				}
			}
		}
	}
	if got := strings.Join(told, "\n"); got != whyNone {
		t.Errorf("got\n%s\nwant\n%s", got, whyNone)
	}
}

const whyNone = `dose 0 of 100 on 150 to 190, 0 applied,: leave ground below the label's least, 20 fl oz/ac
window of 100 to 260, 0, 0 applied,: dry rates span 2.6 to 1 (100 lb/ac to 260 lb/ac), the label's range 2 to 1 (20 fl oz/ac to 40 fl oz/ac)
window of 100 to 260, 0.05, 0 applied,: dry rates span 2.874 to 1 (100 lb/ac to 260 lb/ac, each off by up to 5 %), the label's range 2 to 1 (20 fl oz/ac to 40 fl oz/ac)
dose 0 of 322 on 100 to 260, 0 applied,: put ground above the label's most, 40 fl oz/ac
window of 150 to 190, 0, 0 applied,  + second of {2 fl oz/ac 3 fl oz/ac}: second: the lowest dry rate, 150 lb/ac, is below the smallest impregnated dry rate of the label, 190 lb/ac
window of 260 to 300, 0, 0 applied,  + second of {2 fl oz/ac 3 fl oz/ac}: second: the fixed loading of 64 fl oz/ton is outside the 15.38 fl oz/ton to 20 fl oz/ton that keep every rate on label
dry at 100, 0 applied,  + second of {2 fl oz/ac 3 fl oz/ac}: second: no more than 93.75 lb/ac may be spread, and the smallest impregnated dry rate of the label is 190 lb/ac
window of 150 to 190, 0, 0 applied,  + second of {30 fl oz/ac 38 fl oz/ac}: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 640 fl oz/ton at most, 400 fl oz/ton of it second
window of 260 to 300, 0.05, 0 applied,  + second of {30 fl oz/ac 38 fl oz/ac}: second: dry rates span 1.275 to 1 (260 lb/ac to 300 lb/ac, each off by up to 5 %), the label's range 1.267 to 1 (30 fl oz/ac to 38 fl oz/ac)
dry at 500, 0 applied,  + second of {1 fl oz/ac 2 fl oz/ac}: second stays on label from 250 lb/ac to 500 lb/ac, the other liquids from 80 lb/ac to 160 lb/ac
dose 1 of 100 on 100 to 120, 0 applied,  + second of {2 fl oz/ac 8 fl oz/ac}: load more than the label's most, 60 fl oz/ton
dose 0 of 340 on 150 to 190, 28 applied, season-max: 60 fl oz/ac: put ground above the 32 fl oz/ac that the season maximum leaves
window of 100 to 260, 0, 28 applied, season-max: 60 fl oz/ac: dry rates span 2.6 to 1 (100 lb/ac to 260 lb/ac), the season leaves 1.6 to 1 (20 fl oz/ac to 32 fl oz/ac)
window of 100 to 260, 0.05, 28 applied, season-max: 60 fl oz/ac: dry rates span 2.874 to 1 (100 lb/ac to 260 lb/ac, each off by up to 5 %), the season leaves 1.6 to 1 (20 fl oz/ac to 32 fl oz/ac)
pass, 45 applied, season-max: 60 fl oz/ac: the season leaves 15 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 60 fl oz/ac, 45 fl oz/ac already applied)
window of 150 to 190, 0, 0 applied, max-liquid: 2 gal/ton: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most
dose 0 of 322 on 150 to 190, 0 applied, max-liquid: 2 gal/ton: load more than the label allows: a ton takes up 256 fl oz/ton at most
dry at 320, 0 applied, max-liquid: 2 gal/ton: 320 fl oz/ton would load more than the label allows: a ton takes up 256 fl oz/ton at most
window of 150 to 190, 0, 0 applied, max-liquid: 2 gal/ton + another at 64: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another
dose 1 of 100 on 150 to 190, 0 applied, max-liquid: 2 gal/ton + another at 64: load more than the label allows: a ton takes up 256 fl oz/ton at most, which stabilizer alone, 320 fl oz/ton, fills
dose 0 of 322 on 150 to 190, 0 applied, max-liquid: 2 gal/ton + another at 64: load more than the label allows: a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another
dry at 320, 0 applied, max-liquid: 2 gal/ton + another at 64: 320 fl oz/ton would load more than the label allows: a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another
window of 150 to 190, 0, 0 applied, max-liquid: 2 gal/ton + another at 300: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, which another alone, 300 fl oz/ton, fills
dose 0 of 322 on 150 to 190, 0 applied, max-liquid: 2 gal/ton + another at 300: load more than the label allows: a ton takes up 256 fl oz/ton at most, which another alone, 300 fl oz/ton, fills
dry at 100, 0 applied, max-liquid: 2 gal/ton + another at 300: 100 fl oz/ton would load more than the label allows: a ton takes up 256 fl oz/ton at most, which another alone, 300 fl oz/ton, fills
dose 0 of 322 on 150 to 190, 0 applied, max-liquid: 2 gal/ton + second at 90: load more than the label allows: a ton takes up 256 fl oz/ton at most, 90 fl oz/ton of it second
dry at 320, 0 applied, max-liquid: 2 gal/ton + second at 90: 320 fl oz/ton would load more than the label allows: a ton takes up 256 fl oz/ton at most, 90 fl oz/ton of it second
window of 150 to 190, 0, 0 applied, max-liquid: 2 gal/ton + second of {30 fl oz/ac 38 fl oz/ac}: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, which second alone, 400 fl oz/ton, fills
dose 1 of 100 on 150 to 190, 0 applied, max-liquid: 3 gal/ton + another at 64: load more than the label allows: a ton takes up 384 fl oz/ton at most, 320 fl oz/ton of it stabilizer
window of 150 to 190, 0, 0 applied, min-dry-rate: 210 lb/ac: the lowest dry rate, 150 lb/ac, is below the smallest impregnated dry rate of the label, 210 lb/ac
dry at 500, 0 applied, min-dry-rate: 210 lb/ac: no more than 160 lb/ac may be spread, and the smallest impregnated dry rate of the label is 210 lb/ac
window of 100 to 120, 0, 0 applied, loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}: the lowest dry rate needs 400 fl oz/ton, the label allows at most 330 fl oz/ton
window of 260 to 300, 0, 0 applied, loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}: the highest dry rate needs at most 266.7 fl oz/ton, the label asks for at least 321 fl oz/ton
dose 0 of 250 on 260 to 300, 0 applied, loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}: load less than the label's least, 321 fl oz/ton
dry at 100, 0 applied, loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}: 100 fl oz/ton would load less than the label's least, 321 fl oz/ton
dry at 500, 0 applied, loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}: 500 fl oz/ton would load more than the label's most, 330 fl oz/ton
window of 150 to 190, 0, 0 applied, loading: {min: 380 fl oz/ton, max: 500 fl oz/ton}, max-liquid: 3 gal/ton + another at 64: a ton takes up 384 fl oz/ton at most, 64 fl oz/ton of it another, and the label asks for at least 380 fl oz/ton of stabilizer
window of 150 to 190, 0, 0 applied, loading: {min: 380 fl oz/ton, max: 500 fl oz/ton}, max-liquid: 3 gal/ton + second at 90: a ton takes up 384 fl oz/ton at most, 90 fl oz/ton of it second, and the label asks for at least 380 fl oz/ton of stabilizer`
