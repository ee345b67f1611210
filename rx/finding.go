package rx

import (
	"reflect"
	"slices"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Severity says how bad a finding is.
type Severity = label.Severity

// The severities, from merely worth knowing to not to be worked with.
const (
	Note    = label.Note
	Warning = label.Warning
	Error   = label.Error
)

// About says what a finding is about.
type About string

// What findings are about.
const (
	AboutFile      About = "file"
	AboutLabel     About = "label"
	AboutEquipment About = "equipment"
	AboutPlan      About = "plan"
)

// Kind is what findings of one kind have in common. Its words stand in the catalogue of
// package tell.
type Kind struct {
	key      string
	about    About
	data     reflect.Type
	concerns func(data any, w Work) bool
	decided  bool
	doubt    bool
}

// kinds are all that there are, as they were made.
var kinds struct {
	sync.Mutex
	all []*Kind
}

// Kinds lists the kinds of all rules of the packages that are linked, for tests that hold
// the catalogue of words against them.
func Kinds() []*Kind {
	kinds.Lock()
	defer kinds.Unlock()
	return slices.Clone(kinds.all)
}

// Key names the kind in the catalogue: the rule's name, with a slash and a case behind it
// where the rule finds several things.
func (k *Kind) Key() string { return k.key }

// Rule returns the rule's name, such as "below" or "overlap".
func (k *Kind) Rule() string {
	name, _, _ := strings.Cut(k.key, "/")
	return name
}

// About returns what findings of the kind are about.
func (k *Kind) About() About { return k.about }

// Decided reports whether a [Decision] tells of the findings of the kind.
func (k *Kind) Decided() bool { return k.decided }

// Data is the type of the quantities and names that findings of the kind carry: a struct
// whose fields the catalogue fills in by name.
func (k *Kind) Data() reflect.Type { return k.data }

// Rule makes findings of one kind, which carry a D.
type Rule[D any] struct{ *Kind }

// NewRule makes a rule of a key, see [Kind.Key]. concerns says for which plans its findings
// matter; [EveryPlan], [NoPlan], [LiquidPlans] and [TreatedPlans] are at hand.
func NewRule[D any](key string, about About, concerns func(D, Work) bool) Rule[D] {
	k := &Kind{key: key, about: about, data: reflect.TypeFor[D](), concerns: func(data any, w Work) bool { return concerns(data.(D), w) }}
	kinds.Lock()
	defer kinds.Unlock()
	kinds.all = append(kinds.all, k)
	return Rule[D]{k}
}

// InDecision makes a rule one whose findings a [Decision] tells as well: where that is
// printed, they are not told again.
func (r Rule[D]) InDecision() Rule[D] {
	r.decided = true
	return r
}

// InDoubt makes a rule one whose findings, from a warning on, put in doubt what the input
// means: nothing is written before somebody has answered them, see [Accept].
func (r Rule[D]) InDoubt() Rule[D] {
	r.doubt = true
	return r
}

// Find makes a finding. What else it holds, zones and place, is for the caller to add.
func (r Rule[D]) Find(s Severity, data D) Finding {
	return Finding{Kind: r.Kind, Severity: s, Data: data}
}

// Nothing is the data of findings that need none.
type Nothing struct{}

// Work is a plan with what it was made from.
type Work struct {
	Prescription *Prescription
	Terms        Terms
	Plan         *Plan
}

// EveryPlan is for findings that matter whatever is planned.
func EveryPlan[D any](D, Work) bool { return true }

// NoPlan is for findings that a plan is there to mend, or that tell of the blend as it is.
func NoPlan[D any](D, Work) bool { return false }

// LiquidPlans is for findings that matter where a boom sprays a layer.
func LiquidPlans[D any](_ D, w Work) bool {
	return slices.ContainsFunc(w.Plan.Layers, func(l Layer) bool { return l.Product == Liquid })
}

// TreatedPlans is for findings that matter where some dry is impregnated.
func TreatedPlans[D any](_ D, w Work) bool {
	return slices.ContainsFunc(w.Plan.Layers, func(l Layer) bool { return l.Treated })
}

// Finding is one thing that was found: about the file, against the label, on the
// equipment, or in the plan. It holds no words: package tell puts it into those, in
// the user's units. Only a [Rule] makes one.
type Finding struct {
	*Kind
	Severity Severity
	Zones    []int     // numbers of the zones meant; empty if the whole is meant
	Area     unit.Area // of those zones, or of the ground meant
	Place    *orb.Point
	Field    string
	Data     any // quantities and names, of the type that the kind says
}

// Doubt reports whether the finding puts in doubt what the input means.
func (f Finding) Doubt() bool { return f.doubt && f.Severity > Note }

// Concerns reports whether the finding matters to whoever works from a plan.
func (f Finding) Concerns(w Work) bool { return f.concerns(f.Data, w) }

// Where gives the finding the zones for which keep is true, by index, and their area; it
// reports whether there are any.
func (f *Finding) Where(p *Prescription, keep func(i int) bool) bool {
	f.Zones, f.Area = p.Where(keep)
	return len(f.Zones) > 0
}

// Equal reports whether two findings are of one kind and hold the same.
func (f Finding) Equal(g Finding) bool {
	return f.Kind == g.Kind && f.Severity == g.Severity && slices.Equal(f.Zones, g.Zones) && f.Area == g.Area &&
		f.Field == g.Field && reflect.DeepEqual(f.Place, g.Place) && reflect.DeepEqual(f.Data, g.Data)
}

// Worst returns the highest severity among the findings for which keep is true.
func Worst(findings []Finding, keep func(Finding) bool) Severity {
	worst := Note
	for _, f := range findings {
		if keep(f) && f.Severity > worst {
			worst = f.Severity
		}
	}
	return worst
}

// Flagged reports whether any finding is worse than a note.
func Flagged(findings []Finding) bool {
	return Worst(findings, func(Finding) bool { return true }) > Note
}

// RuleRun says whether a rule looked, so that no finding does not mean that
// nobody looked.
type RuleRun struct {
	Rule string
	Ran  bool
	Why  string // it did not run
}
