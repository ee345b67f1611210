package page

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report"
)

// cautions are read before anybody works from the page. Those on the plant and the
// machines are common practice, without a published source.
func cautions(r report.Result) []string {
	l := r.Assessment.Terms.Label
	list := []string{
		"Read and follow the label in hand and the safety data sheet; they and state and local rules come before anything on this page. This page is no legal advice.",
		"Verdicts say whether a zone is inside the label's rate range as prescribed, with the machine set as this page says. Weigh, meter and calibrate: what the machine does decides.",
	}
	ppe := "Wear the personal protective equipment that the label asks for"
	if len(l.PPE) > 0 {
		ppe += " (" + strings.Join(l.PPE, ", ") + ")"
	}
	interval := "keep to its restricted-entry interval"
	if t, ok := l.ReEntry.Get(); ok {
		interval += " (" + t.Text(r.Units) + ")"
	}
	list = append(list, ppe+", and "+interval+".",
		"Lock out a blender before anybody reaches in. Never pressurize a vessel that is not built and rated for it, nor above its rated pressure.",
		"Keep back from wells and surface water as the label and local rules say. Local codes and licensed applicators decide.",
		"A nitrification inhibitor does not protect urea that lies on the surface from volatilization, and no yield response is promised.",
	)
	if l.IsRegistered() {
		list = append(list, "It is a violation of Federal law to use this product in a manner inconsistent with its labeling (40 CFR 156.10(i)(2)(ii)).")
	}
	if job := r.Assessment.Terms.Job; job == nil {
		list = append(list, fmt.Sprintf("No job file was given: blend, blender, spreader and boom of this field are unknown here, and nothing was checked against them (%s).", r.Prescription.Source.Name))
	}
	return list
}
