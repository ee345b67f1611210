package app

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/label/unit"
	"rxsplit/rx/ground"
	"rxsplit/rx/write"
)

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
	out.Inputs = append(out.Inputs, write.Input{Role: "plan", Path: filepath.ToSlash(h.Plan), Name: "plan.json", SHA256: m.Self})
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
	out.Inputs = append(out.Inputs, write.Input{Role: kindApplied, Path: filepath.ToSlash(path), Name: kindApplied + ".json", SHA256: write.Digest(text), Size: int64(len(text))})
	for _, one := range said.Strips {
		if unit.Ratio(1-one.Sprayed) < ground.LeastUntreated {
			lost.reps = append(lost.reps, one.Rep)
			lost.why = append(lost.why, fmt.Sprintf("replicate %d: %.0f %% of its untreated strip was sprayed all the same", one.Rep, 100*one.Sprayed))
		}
	}
	return lost, nil
}
