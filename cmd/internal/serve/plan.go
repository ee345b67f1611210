package serve

import (
	"bytes"
	"context"
	"encoding/json"
	"html/template"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/write"
)

// planCard is one plan on the page of the folder.
type planCard struct {
	Dir, Way, Link string
	Approved       string
	Err            string
	made           []write.Input // what the plan was made from
}

// planPage is the page of a written plan.
type planPage struct {
	frame
	Dir, Way  string
	State     string // ready or conditional
	How       string // what the way does
	Written   string // the command that has just written it
	Proved    bool
	Proof     []string // what has just been proved, in words
	Self      string   // its digest of itself
	OnlyIf    []string // what has to be met first; empty of a plan that is ready
	Found     []found  // what speaks against it
	Layers    []layer
	Files     []planFile
	Others    []string
	Approval  *rx.Approval
	Unfit     []string      // why an approval that lies there does not count
	Sheet     template.HTML // the release sheet
	Failure   *failure
	Command   string
	ToVerify  string
	ToApprove string
}

type layer struct{ Name, Product, Load, Rates, Ground string }

type planFile struct {
	Name, Size string
	Page       bool
}

func (s *server) planCard(name string) planCard {
	c := planCard{Dir: name, Link: "plan?" + url.Values{"dir": {name}}.Encode()}
	m, err := write.ReadManifest(filepath.FromSlash(name))
	if err != nil {
		c.Err = plainly(err).Text
		return c
	}
	c.Way, c.made = equip.TitleOf(rx.WayName(m.Way), loadsIn(m)), m.Inputs
	if a, _ := m.CheckApproval(filepath.FromSlash(name)); a != nil {
		c.Approved = a.By
	}
	return c
}

// loadsIn counts the impregnated loads of a plan.
func loadsIn(m *write.Manifest) (n int) {
	for _, l := range m.Layers {
		if l.Treated {
			n++
		}
	}
	return max(n, 1)
}

// dir is the folder of a plan that a request names.
func (s *server) dir(r *http.Request) (string, error) {
	local, err := s.folder.inside(r.FormValue("dir"))
	if err == nil && !s.folder.isPlan(filepath.ToSlash(local)) {
		err = &app.Error{What: filepath.ToSlash(local) + ": holds no plan", Hint: "go back to the folder and choose one"}
	}
	return local, err
}

// proving is the folder of a plan whose inputs lie in the folder that is shown, to prove it is to read
// them, and its manifest.
func (s *server) proving(r *http.Request) (dir string, m *write.Manifest, err error) {
	if dir, err = s.dir(r); err == nil {
		m, err = write.ReadManifest(dir)
	}
	if err != nil {
		return dir, nil, err
	}
	for _, in := range m.Inputs {
		if in.Role != "prescription" && in.Role != "keep-out" {
			continue // their texts stand in the manifest
		}
		at := filepath.Clean(filepath.Join(dir, filepath.FromSlash(in.Path)))
		if _, err := s.folder.inside(filepath.ToSlash(at)); err != nil {
			return dir, nil, &app.Error{What: "its " + in.Role + " " + in.Name + " does not lie in this folder", Hint: "copy it to where it was when the plan was written: " + filepath.ToSlash(at), Err: err}
		}
	}
	return dir, m, nil
}

// plan shows a written plan.
func (s *server) plan(w http.ResponseWriter, r *http.Request) {
	dir, err := s.dir(r)
	if err != nil {
		s.failed(w, http.StatusNotFound, err)
		return
	}
	v := s.planOf(dir)
	v.Written = report.Plain(r.FormValue("written"))
	s.write(w, s.page("plan.html", v))
}

// planOf reads what a plan's folder says of itself. Whether that is so, a proof says.
func (s *server) planOf(dir string) *planPage {
	word := report.Word(filepath.ToSlash(dir))
	v := &planPage{frame: s.frame("Plan " + filepath.ToSlash(dir)), Dir: filepath.ToSlash(dir), ToVerify: "rxsplit verify " + word, ToApprove: "rxsplit approve " + word + " --by NAME"}
	m, err := write.ReadManifest(dir)
	if err != nil {
		v.Failure = plainly(err)
		return v
	}
	v.Way = equip.TitleOf(rx.WayName(m.Way), loadsIn(m))
	way := wayIn(m)
	v.State, v.How = way.State, way.Why
	v.Self, v.OnlyIf, v.Found = m.Self, way.conditions(), foundIn(m)
	var units map[string]string
	json.Unmarshal(m.Units, &units) // texts that this program wrote; without them the figures stand bare
	for _, l := range m.Layers {
		v.Layers = append(v.Layers, layerOf(l, units))
	}
	for _, f := range m.Files {
		v.Files = append(v.Files, planFile{f.Name, sizeText(f.Size), f.Name == "report.html"})
	}
	v.Files = append(v.Files, planFile{Name: "plan.json"}) // it can't state its own size
	v.Others = m.Others(dir)
	var unfit []write.Mismatch
	v.Approval, unfit = m.CheckApproval(dir)
	for _, u := range unfit {
		v.Unfit = append(v.Unfit, u.Error())
	}
	return v
}

// wayDone is what a manifest says of its way.
type wayDone struct {
	State, Why string
	Conditions []struct{ Text string }
}

func wayIn(m *write.Manifest) (w wayDone) {
	json.Unmarshal(m.Summary, &w) // that this program wrote; a proof says whether it stands as written
	return w
}

// conditions lists what has to be met before the plan is released.
func (w wayDone) conditions() (list []string) {
	for _, c := range w.Conditions {
		list = append(list, c.Text)
	}
	return list
}

// foundIn lists what was found that matters to whoever works from the plan, as its release card
// does: what is in doubt with the answer that was given, and nothing that is merely a note.
func foundIn(m *write.Manifest) (list []found) {
	var all []struct {
		Rule, Severity, Text, Hint string
		Doubt, Plan                bool
	}
	json.Unmarshal(m.Findings, &all) // that this program wrote
	for _, f := range all {
		if !f.Plan || f.Severity == rx.Note.String() {
			continue
		}
		one := found{Severity: f.Severity, Text: f.Text, Hint: f.Hint}
		if at := slices.IndexFunc(m.Accepted, func(a write.Accepted) bool { return a.Rule == f.Rule }); f.Doubt && at >= 0 {
			one.Severity, one.Reason = "accepted", m.Accepted[at].Reason
		}
		if !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	return list
}

// unmet refuses to approve a plan that is not the one that was looked at, or whose conditions
// are not each said to be met.
func unmet(dir string, m *write.Manifest, form url.Values) error {
	if form.Get("plan") != m.Self {
		return &app.Error{What: filepath.ToSlash(dir) + ": was written anew since its page was opened", Hint: "go back, look at it as it is now, and approve that"}
	}
	var open []string
	for _, c := range wayIn(m).conditions() {
		if !slices.Contains(form["met"], c) {
			open = append(open, "not said to be met: "+c)
		}
	}
	if len(open) > 0 {
		return &app.Error{What: strings.Join(open, "\n"), Hint: "go back and tick each condition once it is met; until then the plan is not to be released"}
	}
	return nil
}

// layerOf prints a layer's figures as the page of the plan does.
func layerOf(l write.LayerTotals, units map[string]string) layer {
	q := figures.In(unit.US)
	if units["area"] == unit.Symbol[unit.Area](unit.Metric) {
		q = figures.In(unit.Metric)
	}
	dry, liquid := 1/unit.DryRate(1).In(q.System), 1/unit.LiquidRate(1).In(q.System)
	what, rates := "untreated dry", q.DryRange(unit.DryRate(l.RateMin*dry), unit.DryRate(l.RateMax*dry))+" "+units["dry_rate"]
	switch {
	case l.Product == string(rx.Liquid):
		what, rates = "stabilizer in water", q.RateRange(unit.LiquidRate(l.RateMin*liquid), unit.LiquidRate(l.RateMax*liquid))+" "+units["stabilizer_rate"]
	case l.Treated:
		what = "treated dry"
	}
	return layer{l.Name, what, strings.Join(l.Load, ", "), rates, figures.Thousands(figures.Fixed(l.Area, 2)) + " " + units["area"]}
}

func sizeText(n int64) string {
	if n < 1000 {
		return figures.Count(n) + " bytes"
	}
	return figures.Count(n/1000) + " kB"
}

// verify proves a plan from the disk.
func (s *server) verify(w http.ResponseWriter, r *http.Request) {
	dir, _, err := s.proving(r)
	if err != nil {
		s.write(w, s.wrong(http.StatusConflict, err, planLink(dir)))
		return
	}
	t, err := s.works.do(&task{title: "Proving " + filepath.ToSlash(dir), back: planLink(dir)}, "", func(ctx context.Context, run app.Run) made {
		m, err := run.Verify(ctx, dir, app.InputsAt{})
		v := s.planOf(dir)
		if err != nil {
			v.Failure = plainly(err)
		} else {
			v.Proved, v.Proof = true, text.Proof(m)
		}
		out := s.page("plan.html", v)
		out.again = ctx.Err() != nil
		return out
	})
	s.answerWork(w, r, t, err)
}

// approve adds an approval to a plan.
func (s *server) approve(w http.ResponseWriter, r *http.Request) {
	dir, m, err := s.proving(r)
	if err != nil {
		s.write(w, s.wrong(http.StatusConflict, err, planLink(dir)))
		return
	}
	if r.PostForm.Get("by") != "" {
		err = unmet(dir, m, r.PostForm)
	}
	if err != nil {
		s.write(w, s.wrong(http.StatusConflict, err, planLink(dir)+"#approve"))
		return
	}
	said := rx.Approval{
		By: r.PostForm.Get("by"), License: r.PostForm.Get("license"), Note: r.PostForm.Get("note"),
		At: s.options.Now().UTC().Truncate(time.Second),
	}
	t, err := s.works.do(&task{title: "Approving " + filepath.ToSlash(dir), back: planLink(dir), writes: true}, "", func(ctx context.Context, run app.Run) made {
		s.writing.Lock()
		defer s.writing.Unlock()
		_, sheet, err := run.Approve(ctx, dir, app.InputsAt{}, said)
		if err != nil && ctx.Err() != nil {
			return made{again: true}
		}
		if err != nil {
			return s.wrong(http.StatusConflict, err, planLink(dir))
		}
		v := s.planOf(dir)
		v.Command = approveCommand(dir, said)
		var b bytes.Buffer
		page.Sheet(&b, sheet) // to memory, by a template of the program: it can't fail
		v.Sheet = template.HTML(b.String())
		return s.page("plan.html", v)
	})
	s.answerWork(w, r, t, err)
}

func planLink(dir string) string {
	return "plan?" + url.Values{"dir": {filepath.ToSlash(dir)}}.Encode()
}

func approveCommand(dir string, said rx.Approval) string {
	command := "rxsplit approve " + report.Word(filepath.ToSlash(dir))
	if said.By != "" {
		command += " --by " + report.Word(said.By)
	}
	if said.License != "" {
		command += " --license " + report.Word(said.License)
	}
	if said.Note != "" {
		command += " --note " + report.Word(said.Note)
	}
	return command
}
