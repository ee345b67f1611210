package app

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/ground"
	"rxsplit/rx/readout"
	"rxsplit/rx/write"
)

const stripsName = "strips"

// mostStrips is more than fit on any field that one reads by hand.
const mostStrips = 100

// ofStrips lists the options that say which strips stay without stabilizer. They are of one field
// and one year: no job file says them.
func ofStrips() []Option {
	return []Option{
		{
			Name: stripsName, Splits: true, Kind: Number, Help: "leave so many untreated strips out of the liquid layer, to see at harvest what the stabilizer was worth",
			act: func(s *settings, v []string) error {
				n, err := strconv.Atoi(v[0])
				if err != nil || n < readout.Fewest || n > mostStrips {
					return &Error{What: fmt.Sprintf("%s is no number of strips from %d to %d", v[0], readout.Fewest, mostStrips), Hint: "fewer say nothing, as they have no interval; 6 to 8 are usual"}
				}
				s.terms.Strips.Count = n
				return nil
			},
		}, {
			Name: "strip-length", Splits: true, Help: "with --strips: how long each is read, such as 600 ft (the default)",
			act: quantity(func(s *settings) *label.Known[unit.Length] { return &s.terms.Strips.Length }, asKnown(aboveZero(unit.Parse[unit.Length], `such as --strip-length "600 ft"`))),
		}, {
			Name: "azimuth", Splits: true, Help: "with --strips: direction of the passes, degrees clockwise from north (default along the longest edge)",
			act: quantity(func(s *settings) *label.Known[float64] { return &s.terms.Strips.Azimuth }, asKnown(azimuthOf)),
		}, {
			Name: "offset", Splits: true, Help: "with --strips: how far outside the field's edge the first pass begins (default 0)",
			act: quantity(func(s *settings) *unit.Length { return &s.terms.Strips.Offset }, unit.Parse[unit.Length]),
		}, {
			Name: "strip-headland", Splits: true, Help: "with --strips: what is kept to the edge of the ground that gets dry (default two widths of the boom)",
			act: quantity(func(s *settings) *label.Known[unit.Length] { return &s.terms.Strips.Headland }, asKnown(unit.Parse[unit.Length])),
		}, {
			Name: "header", Splits: true, Help: "with --strips: width of the combine's header, such as 30 ft",
			act: quantity(func(s *settings) *unit.Length { return &s.terms.Strips.Header }, unit.Parse[unit.Length]),
		}, {
			Name: "seed", Splits: true, Kind: Number, Help: "with --strips: another number draws other places (default 1)",
			act: func(s *settings, v []string) (err error) {
				n, err := strconv.ParseInt(v[0], 10, 32)
				if err != nil || n < 0 {
					return &Error{What: v[0] + " is no whole number from 0 on", Hint: "leave it out, or give one such as --seed 2"}
				}
				s.terms.Strips.Seed = uint64(n)
				return nil
			},
		},
	}
}

// azimuthOf reads a direction.
func azimuthOf(text string) (float64, error) {
	a, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "°")), 64)
	if err != nil || !(math.Abs(a) <= 360) {
		return 0, &Error{What: text + " is no direction", Hint: "give degrees clockwise from north, such as --azimuth 90"}
	}
	return a, nil
}

// sprayed are the replicates whose untreated strip got too much, and why each is left out.
type sprayed struct {
	reps []int
	why  []string
}

func (s sprayed) has(rep int) bool { return slices.Contains(s.reps, rep) }

// planned makes sure that the plan's folder is as it was written and has strips, and finds those
// that were sprayed all the same.
func (h Harvest) planned(out *report.Readout) (lost sprayed, err error) {
	if h.Plan == "" {
		return lost, nil
	}
	m, err := write.ReadManifest(h.Plan)
	if err != nil {
		return lost, err
	}
	if wrong := m.CheckFiles(h.Plan); len(wrong) > 0 {
		return lost, &write.VerifyError{Dir: h.Plan, Mismatches: wrong}
	}
	if m.Strips == nil {
		return lost, &Error{What: h.Plan + ": the plan leaves no strips untreated", Hint: "name strips that were left by hand with --strips FILE; next year's plan leaves some with rxsplit split --strips 6"}
	}
	out.Inputs = append(out.Inputs, planInput(h.Plan, m.Self))
	if h.Applied == "" {
		return lost, nil
	}
	return h.applied(m, out)
}

// applied finds the strips that logs say were sprayed.
func (h Harvest) applied(plan *write.Manifest, out *report.Readout) (lost sprayed, err error) {
	path := filepath.Join(h.Applied, kindApplied+".json")
	text, err := readUpTo(path, 1<<30)
	if err != nil {
		return lost, &Error{What: path + ": " + SystemSays(err), Hint: "name a folder that rxsplit applied --out has written"}
	}
	var said data.GroundSaid
	if err := json.Unmarshal(text, &said); err != nil || said.Kind != kindApplied {
		return lost, &Error{What: path + ": does not hold what was applied", Hint: "name a folder that rxsplit applied --out has written"}
	}
	if !slices.ContainsFunc(said.Inputs, func(in write.Input) bool { return in.Role == "plan" && in.SHA256 == plan.Self }) {
		return lost, &Error{What: h.Applied + ": is of another plan than " + h.Plan, Hint: "lay the logs over this plan with: rxsplit applied " + report.Word(h.Plan)}
	}
	if said.Strips == nil {
		return lost, &Error{What: h.Applied + ": no log of the liquid was laid, so that nobody knows what the strips got", Hint: "give the boom's log as well, with: rxsplit applied " + report.Word(h.Plan)}
	}
	out.Inputs = append(out.Inputs, inputOf(kindApplied, path, text))
	for _, one := range said.Strips {
		if unit.Ratio(1-one.Sprayed) < ground.LeastUntreated {
			lost.reps = append(lost.reps, one.Rep)
			lost.why = append(lost.why, fmt.Sprintf("replicate %d: %.0f %% of its untreated strip was sprayed all the same", one.Rep, 100*one.Sprayed))
		}
	}
	return lost, nil
}
