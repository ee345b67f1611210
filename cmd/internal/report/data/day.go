package data

import (
	"cmp"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/write"
)

// daySchema names the form of a plant's day.
const daySchema = "rxsplit.day/1"

type dayJSON struct {
	Schema   string           `json:"schema"`
	Units    unitsJSON        `json:"units"`
	Blends   []dayBlendJSON   `json:"blends"`
	Fields   []dayFieldJSON   `json:"fields"`
	Loadings []dayLoadingJSON `json:"loadings"`
	Fewest   int              `json:"fewest_loadings"` // that would serve all fields with a window
	Opened   int              `json:"opened_loadings"`
	Minutes  float64          `json:"minutes,omitempty"` // of blending, all fields served
	Hours    hoursJSON        `json:"hours"`             // of all fields served
	Late     []int            `json:"late"`              // indices of fields that do not fit into the day, from 0
	Runs     []dayRunJSON     `json:"runs"`              // of the blender, in their order
	Hauls    []dayHaulJSON    `json:"hauls"`
	Asks     []dayAskJSON     `json:"asks"`
	Orders   []dayOrderJSON   `json:"orders"`
	Left     []dayLeftJSON    `json:"left,omitempty"`
	Cost     *dayCostJSON     `json:"cost"`
	Gap      float64          `json:"gap"` // of the cost or, without prices, of the loadings
	*DayMade
}

// DayMade says what a day that lies in a folder was made by, and what lies beside it.
type DayMade struct {
	Version    string          `json:"version"`
	Parameters json.RawMessage `json:"parameters"`     // by the day's own job
	Jobs       []DayJob        `json:"jobs,omitempty"` // further ones, that fields count from 1
	Boom       string          `json:"boom_day"`
	Blender    string          `json:"blender_day,omitempty"`
	Spreader   string          `json:"spreader_day,omitempty"`
	Change     string          `json:"change_over"`
	Packages   []string        `json:"packages"`
	Date       label.Date      `json:"date,omitempty"` // of the day, where it decides
	LeftOver   []DayLeftOver   `json:"left_over,omitempty"`
	Files      []write.FileSum `json:"files"`
	Self       string          `json:"self"`
}

// DayJob is a further job of a day.
type DayJob struct {
	File       string          `json:"file"` // its name alone
	Parameters json.RawMessage `json:"parameters"`
}

// DayLeftOver is treated blend that is left over, as it was said.
type DayLeftOver struct {
	Weighed  string     `json:"weighed"`
	Loading  string     `json:"loading"`
	Customer string     `json:"customer,omitempty"`
	Made     label.Date `json:"made,omitempty"`
	Job      int        `json:"job,omitempty"`   // that it was blended by; 0 for the day's, -1 for one that can't be read
	Named    bool       `json:"named,omitempty"` // the day's job is, as the one that it was blended by
	Where    string     `json:"where,omitempty"` // it was said
	Wrong    string     `json:"error,omitempty"` // of its job
}

type dayFieldJSON struct {
	File     string      `json:"file"`
	Folder   string      `json:"folder,omitempty"` // of its plan
	Area     float64     `json:"area"`
	Mass     float64     `json:"mass"`
	Blend    *int        `json:"blend"`  // index, from 0
	Window   *windowJSON `json:"window"` // with room for the rate error, between graduations of a meter
	Way      *rx.WayName `json:"way"`
	Loading  *float64    `json:"loading"` // that it shares
	Loadings []float64   `json:"loadings"`
	RateMin  *float64    `json:"rate_min"`
	RateMax  *float64    `json:"rate_max"`
	Hours    hoursJSON   `json:"hours"`
	CostHigh *float64    `json:"cost_high"`
	Why      string      `json:"why"` // it takes no way, or shares no loading though it has a window
	Error    string      `json:"error"`
	Hint     string      `json:"hint,omitempty"`    // what to do about that
	Refused  bool        `json:"refused,omitempty"` // when its plan was to be written: it is not worked out again

	Job       int                 `json:"job,omitempty"` // that it goes by; 0 for the day's, -1 for one that can't be read
	Customer  string              `json:"customer,omitempty"`
	Priority  int                 `json:"priority"` // 1 comes first
	NotByBoom bool                `json:"not_by_boom,omitempty"`
	Fixed     string              `json:"fixed_way,omitempty"`
	Options   map[string][]string `json:"options,omitempty"` // that differ from the job's
	Inputs    map[string]string   `json:"inputs,omitempty"`  // where its other files lie
}

// Differs is what was said of the field alone.
func (f dayFieldJSON) Differs() report.DayDiffers {
	return report.DayDiffers{Job: f.Job, Customer: f.Customer, Priority: f.Priority, NotByBoom: f.NotByBoom, Fixed: f.Fixed, Values: f.Options}
}

// hoursJSON holds hours; 0 where none are known.
type hoursJSON struct {
	Blender  float64 `json:"blender"`
	Spreader float64 `json:"spreader"`
	Boom     float64 `json:"boom"`
}

func hoursOf(h day.Hours) hoursJSON {
	return hoursJSON{float64(h.Blender / unit.Hour), float64(h.Spreader / unit.Hour), float64(h.Boom / unit.Hour)}
}

type dayBlendJSON struct {
	Materials  []dayMaterialJSON `json:"materials"` // empty where nobody names them
	Stabilizer string            `json:"stabilizer"`
	Further    []string          `json:"further,omitempty"` // liquids that go onto it too
}

type dayMaterialJSON struct {
	Name  string  `json:"name"`
	Grade string  `json:"grade,omitempty"`
	Share float64 `json:"share"`
}

type dayLoadingJSON struct {
	Value   float64 `json:"value"`
	Fields  []int   `json:"fields"` // indices, from 0
	Mass    float64 `json:"mass"`
	Batches *int    `json:"batches"`           // each field's own, together
	Minutes float64 `json:"minutes,omitempty"` // to blend them
	Blend   int     `json:"blend"`             // index, from 0
}

type dayOrderJSON struct {
	What     string        `json:"what"`
	Amount   float64       `json:"amount"`
	Unit     string        `json:"unit"`
	Of       []float64     `json:"of_blends"`
	Packages []dayPackJSON `json:"packages"`
	Left     *float64      `json:"left"`
}

type dayLeftJSON struct {
	Weighed float64 `json:"weighed"`
	Loading float64 `json:"loading"`
	Dry     float64 `json:"dry"`
	Used    float64 `json:"used"`                // of what is weighed, in the runs
	Blend   *int    `json:"blend"`               // index, from 0
	Why     string  `json:"why"`                 // it, or a part of it, is not used
	Failed  bool    `json:"failed,omitempty"`    // what is said of it can't be so
	Last    string  `json:"spread_by,omitempty"` // the last day on which the label lets it wait
}

type dayPackJSON struct {
	Size  float64 `json:"size"`
	Count int     `json:"count"`
}

type dayCostJSON struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Day prints a plant's day as one document.
func Day(w io.Writer, d report.Day) error {
	return printed(w)(dayDocument(d, nil))
}

// DayManifest prints the same with what it was made by.
func DayManifest(d report.Day, made DayMade) ([]byte, error) {
	made.Files = slices.Concat([]write.FileSum{}, made.Files)
	return dayDocument(d, &made)
}

// DayFile is what is read of a day that lies in a folder.
type DayFile struct{ dayJSON }

// ParseDay reads it.
func ParseDay(text []byte) (*DayFile, error) {
	f := &DayFile{}
	if err := json.Unmarshal(text, f); err != nil || f.Schema != daySchema || f.DayMade == nil || f.Parameters == nil {
		return nil, errors.New("does not hold a day with its plans")
	}
	return f, nil
}

func dayDocument(d report.Day, made *DayMade) ([]byte, error) {
	doc := dayJSON{
		Schema: daySchema, Units: UnitsOf(d.Units), Fields: []dayFieldJSON{}, Loadings: []dayLoadingJSON{}, Orders: []dayOrderJSON{}, Blends: []dayBlendJSON{},
		Fewest: d.Fewest, Opened: d.Opened, Minutes: float64(d.Blending / unit.Minute), Gap: d.Gap, DayMade: made,
		Hours: hoursOf(d.Hours), Late: append([]int{}, d.Late...),
	}
	for _, b := range d.Blends {
		doc.Blends = append(doc.Blends, dayBlendOf(b))
	}
	for _, f := range d.Fields {
		doc.Fields = append(doc.Fields, dayFieldOf(d, f))
	}
	for _, l := range d.Loadings {
		one := dayLoadingJSON{Value: l.Value.In(d.Units), Fields: l.Fields, Mass: l.Mass.In(d.Units), Minutes: float64(l.Time / unit.Minute), Blend: l.Blend}
		if l.Batches > 0 {
			one.Batches = &l.Batches
		}
		doc.Loadings = append(doc.Loadings, one)
	}
	doc.Runs, doc.Hauls, doc.Asks = dayRunsOf(d)
	for i, l := range d.Left {
		doc.Left = append(doc.Left, dayLeftJSON{l.Weighed.In(d.Units), l.Load.Loading.In(d.Units), l.Dry().In(d.Units), l.Used.In(d.Units), index(l.Blend), report.DayUnused(d, i), l.Failed, string(l.SpreadBy)})
	}
	for _, o := range d.Orders {
		one := dayOrderJSON{What: o.What, Amount: o.Amount, Unit: o.Unit, Of: o.Of, Packages: []dayPackJSON{}}
		for _, p := range o.Packs {
			one.Packages = append(one.Packages, dayPackJSON{p.Size, p.Count})
			one.Left = &o.Left
		}
		doc.Orders = append(doc.Orders, one)
	}
	if c := d.Cost; c != nil {
		doc.Cost = &dayCostJSON{c.Low, c.High}
	}
	return line(doc)
}

func dayFieldOf(d report.Day, f report.DayField) dayFieldJSON {
	s := d.Units
	one := dayFieldJSON{File: f.Path, Folder: f.Folder, Area: f.Area.In(s), Mass: f.Mass.In(s), Blend: index(f.Blend), Loadings: []float64{}, Hours: hoursOf(f.Hours), CostHigh: f.Cost, Why: cmp.Or(strings.Join(f.Why, "; "), f.Apart),
		Job: f.Job, Customer: f.Customer, Priority: f.Priority, NotByBoom: f.NotByBoom, Fixed: f.Fixed, Options: f.Values, Inputs: f.Inputs}
	if f.Err != nil {
		one.Error, one.Hint, one.Refused = f.Err.Error(), f.Hint, f.Refused
	}
	if w := f.Window; w != nil {
		one.Window = &windowJSON{w.Min.In(s), w.Max.In(s)}
	}
	for _, l := range f.Loadings {
		one.Loadings = append(one.Loadings, l.In(s))
	}
	if f.Shared >= 0 {
		one.Loading = &one.Loadings[0]
	}
	if f.Served() {
		low, high := f.Rate.Min.In(s), f.Rate.Max.In(s)
		one.Way, one.RateMin, one.RateMax = &f.Way, &low, &high
	}
	return one
}

// index is one of a list, or null for none.
func index(i int) *int {
	if i < 0 {
		return nil
	}
	return &i
}

func dayBlendOf(b day.Blend) dayBlendJSON {
	one := dayBlendJSON{Materials: []dayMaterialJSON{}, Stabilizer: b.Stabilizer.Name}
	for _, m := range b.Materials {
		material := dayMaterialJSON{Name: m.Name, Share: float64(m.Share)}
		if g, ok := m.Grade.Get(); ok {
			material.Grade = g.String()
		}
		one.Materials = append(one.Materials, material)
	}
	for _, l := range b.Further {
		one.Further = append(one.Further, l.Name)
	}
	return one
}
