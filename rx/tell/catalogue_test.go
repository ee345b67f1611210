package tell_test

import (
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
	_ "rxsplit/rx/check" // whose rules are told
	"rxsplit/rx/equip"
	_ "rxsplit/rx/ground"
	_ "rxsplit/rx/read"
	_ "rxsplit/rx/readout"
	_ "rxsplit/rx/split"
	"rxsplit/rx/tell"
)

// sample fills a value: every number, text, list and flag of it. Numbers are such that no
// form hides them.
func sample(v reflect.Value) {
	switch v.Interface().(type) {
	case equip.PanTest:
		v.Set(reflect.ValueOf(equip.PanTest{Spacing: 5, Caught: []equip.Catch{9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1}}))
		return
	case rx.Verdict:
		v.Set(reflect.ValueOf(rx.Above))
		return
	}
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(40)
	case reflect.Int:
		v.SetInt(3)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.String:
		v.SetString("name")
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				sample(v.Field(i))
			}
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		sample(v.Index(0))
		sample(v.Index(1))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		sample(v.Elem())
	case reflect.Array:
		for i := range v.Len() {
			sample(v.Index(i))
		}
	}
}

// samples are findings of a kind: with all that it can carry, with nothing, and each time
// without or with one thing alone, so that every condition is tried.
func samples(k *rx.Kind) (list []rx.Finding) {
	add := func(data reflect.Value) {
		f := rx.Finding{Kind: k, Severity: rx.Warning, Data: data.Elem().Interface(), Place: &orb.Point{-93, 42}}
		bare := f
		f.Zones, f.Area, f.Field = []int{3, 5}, 40, "RATE"
		one := f
		one.Zones = []int{3}
		list = append(list, f, one, bare)
	}
	full, empty := reflect.New(k.Data()), reflect.New(k.Data())
	sample(full.Elem())
	add(full)
	add(empty)
	for i := range k.Data().NumField() {
		without, alone := reflect.New(k.Data()), reflect.New(k.Data())
		without.Elem().Set(full.Elem())
		without.Elem().Field(i).SetZero()
		sample(alone.Elem().Field(i))
		add(without)
		add(alone)
	}
	return list
}

// american is a number in a unit of the United States.
var american = regexp.MustCompile(`\d (ac|lb|lb/ac|tons?|fl oz|fl oz/ac|fl oz/ton|gal|gal/ac|gal/ton|ft|in|mph|psi)\b`)

// kinds are those of the program: other tests make some of their own.
var kinds = rx.Kinds()

// Every kind of finding has its words, whose values are all there, and in metric units none
// is in another unit.
func TestEveryKindIsTold(t *testing.T) {
	told := map[string]bool{}
	for _, k := range kinds {
		told[k.Key()] = true
		for i, f := range samples(k) {
			f.Concerns(rx.Work{Prescription: &rx.Prescription{Fields: make([]rx.RateField, 1)}, Plan: &rx.Plan{}}) // it has an answer
			for _, s := range []unit.System{unit.US, unit.Metric} {
				w := tell.Finding(f, s)
				all := strings.Join([]string{w.Text, w.Hint, w.Got, w.Want}, "\n")
				if strings.ContainsAny(all, "{}") {
					t.Fatalf("%s: a value is not known, or not in that form: %s", k.Key(), all)
				}
				if i == 0 && w.Text == "" {
					t.Errorf("%s: nothing is told", k.Key())
				}
				if s == unit.Metric && american.MatchString(all) {
					t.Errorf("%s: in metric units: %s", k.Key(), all)
				}
			}
		}
	}
	for _, key := range tell.Entries() {
		if !told[key] {
			t.Errorf("%s: there is no such kind of finding", key)
		}
	}
}

// What is printed is what was given: the forms of the catalogue by hand.
func TestForms(t *testing.T) {
	type data struct {
		Stated, Measured unit.Area
		AsFeet           bool
		AsMeters         bool
		AsHectares       bool
		AsAcres          bool
	}
	f := rx.NewRule[data]("area-differs", rx.AboutFile, rx.EveryPlan).Find(rx.Warning, data{Stated: 40, Measured: 430.6, AsFeet: true})
	f.Field = "ACRES"
	for s, want := range map[unit.System]string{
		unit.US:     "field ACRES adds up to 40 ac, the polygons measure 430.6 ac: 10.76 times as much, as if feet were taken for meters",
		unit.Metric: "field ACRES adds up to 16.19 ha, the polygons measure 174.3 ha: 10.76 times as much, as if feet were taken for meters",
	} {
		if got := tell.Text(f, s); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	missing := rx.NewRule[rx.Nothing]("no such rule", rx.AboutFile, rx.EveryPlan).Find(rx.Note, rx.Nothing{})
	if got := tell.Text(missing, unit.US); got != "{no such rule}" {
		t.Errorf("got %q", got)
	}
	unknown := rx.NewRule[rx.Nothing]("crs", rx.AboutFile, rx.EveryPlan).Find(rx.Note, rx.Nothing{})
	if got := tell.Text(unknown, unit.US); got != "{says}" {
		t.Errorf("got %q", got)
	}
}

func BenchmarkFinding(b *testing.B) {
	for _, k := range rx.Kinds() {
		if k.Key() == "overlap" {
			f := samples(k)[0]
			for b.Loop() {
				tell.Finding(f, unit.US)
			}
		}
	}
}
