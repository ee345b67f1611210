package app_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/rx"
	"rxsplit/rx/write"
)

// manifestForgeries change what plan.json says.
func manifestForgeries() []forgery {
	const name = "plan.json"
	typed := func(from, to string) func(f *folder) bool {
		return func(f *folder) bool { return f.retype(from, to) }
	}
	edited := func(change func(m *write.Manifest)) func(f *folder) bool {
		return func(f *folder) bool { return f.edit(change) }
	}
	raw := func(of func(m *write.Manifest) *json.RawMessage, change func(text []byte) []byte) func(f *folder) bool {
		return edited(func(m *write.Manifest) { part := of(m); *part = change(bytes.Clone(*part)) })
	}
	findings := func(m *write.Manifest) *json.RawMessage { return &m.Findings }
	parameters := func(m *write.Manifest) *json.RawMessage { return &m.Parameters }
	summary := func(m *write.Manifest) *json.RawMessage { return &m.Summary }
	member := func(text string) func([]byte) []byte {
		return func(b []byte) []byte { return append([]byte("{"+text+","), b[1:]...) }
	}
	return []forgery{
		{"all findings dropped", name, `findings has 0 entries`, raw(findings, func([]byte) []byte { return []byte("[]") })},
		{"a finding made a note", name, `findings\[\d+\]\.severity is "note"`, typed(`"severity": "warning"`, `"severity": "note"`)},
		{"a finding's words", name, `(findings|conditions)\[\d+\]\.text is "Not: `, typed(`"text": "`, `"text": "Not: `)},
		{"a figure of a finding", name, `findings\[\d+\]\.[a-z]+`, func(f *folder) bool {
			return f.edit(func(m *write.Manifest) { m.Findings = bytes.Replace(m.Findings, []byte("1"), []byte("2"), 1) })
		}},
		{"a cheaper way", name, `summary\.`, func(f *folder) bool { return f.retype(`"high": `, `"high": 1`) }},
		{"a cost without its upper end", name, `summary\.`, func(f *folder) bool { return f.retype(`"high": `, `"highest": `) }},
		{"a conditional way made ready", name, `summary\.state is "ready"`, typed(`"state": "conditional"`, `"state": "ready"`)},
		{"a member of the summary added", name, `summary\.spare is 1, want missing`, raw(summary, member(`"spare":1`))},
		{"other units", name, `units\.dry_rate is "kg/ha", want "lb/ac"`, typed(`"dry_rate": "lb/ac"`, `"dry_rate": "kg/ha"`)},
		{"another area of a layer", name, `layers\[0\]\.area is 1, want|the totals of layer`, edited(func(m *write.Manifest) { m.Layers[0].Area = 1 })},
		{"another mass of a layer", name, `layers\[0\]\.mass|volume|loading`, edited(func(m *write.Manifest) { v := 7.0; m.Layers[0].Mass = &v })},
		{"another unit of a column", name, `layers\[0\]\.rate_units`, edited(func(m *write.Manifest) { m.Layers[0].RateUnits[0] = "kg/ha of product" })},
		{"another column to load", name, `layers\[0\]\.rate_fields`, edited(func(m *write.Manifest) { m.Layers[0].RateFields[0] = "RX_RATE" })},
		{"a layer that is treated and is not", name, `layers\[0\]\.treated`, edited(func(m *write.Manifest) { m.Layers[0].Treated = !m.Layers[0].Treated })},
		{"a layer less", name, `layers has|layers\[0\]`, edited(func(m *write.Manifest) { m.Layers = m.Layers[1:] })},
		{"another name of the source", "sheets.txt", "line", edited(func(m *write.Manifest) {
			m.Inputs[0].Name = "other.geojson"
		})},
		{"a source that is not there", "other.geojson", "is not there", edited(func(m *write.Manifest) {
			m.Inputs[0].Name, m.Inputs[0].Path = "other.geojson", "../other.geojson"
		})},
		{"a path that is not of the name", name, "names an input", edited(func(m *write.Manifest) { inputOf(m, "label").Path = "elsewhere/other.yaml" })},
		{"another digest of the source", "field.geojson", "is not the file", edited(func(m *write.Manifest) { m.Inputs[0].SHA256 = strings.Repeat("a", 64) })},
		{"another digest of the label", name, `inputs\[\d\]\.sha256`, edited(func(m *write.Manifest) { inputOf(m, "label").SHA256 = strings.Repeat("a", 64) })},
		{"an input doubled", name, `inputs has`, edited(func(m *write.Manifest) { m.Inputs = append(m.Inputs, m.Inputs[len(m.Inputs)-1]) })},
		{"an input less", name, `inputs has`, edited(func(m *write.Manifest) { m.Inputs = m.Inputs[:len(m.Inputs)-1] })},
		{"the label's range in the manifest", "report.html", "line", raw(parameters, func(b []byte) []byte {
			return bytes.Replace(b, []byte("max: 40 fl oz/ac"), []byte("max: 41 fl oz/ac"), 1)
		})},
		{"the label's range and digest", "report.html", "line", edited(func(m *write.Manifest) {
			m.Parameters = bytes.Replace(m.Parameters, []byte("max: 40 fl oz/ac"), []byte("max: 41 fl oz/ac"), 1)
			var p struct{ Label string }
			if json.Unmarshal(m.Parameters, &p) == nil {
				in := inputOf(m, "label")
				in.SHA256, in.Size = write.Digest([]byte(p.Label)), int64(len(p.Label))
			}
		})},
		{"a price in the manifest's job", "report.html", "line", raw(parameters, func(b []byte) []byte {
			return bytes.Replace(b, []byte("stabilizer: 40 $/gal"), []byte("stabilizer: 20 $/gal"), 1)
		})},
		{"a parameter that none is", name, `parameters\.spare is 1, want missing`, raw(parameters, member(`"spare":1`))},
		{"a parameter changed", "zones.csv", "line 2", typed(`"stabilizer_rate": "30 fl oz/ac"`, `"stabilizer_rate": "31 fl oz/ac"`)},
		{"a reason of another", name, `accepted\[0\]\.reason is "seen"|accepted are not`, edited(func(m *write.Manifest) { m.Accepted[0].Reason = "seen" })},
		{"an answer dropped from one list", name, `accepted`, edited(func(m *write.Manifest) { m.Accepted = nil })},
		{"an answer dropped from both lists", name, "is of a source in doubt", edited(func(m *write.Manifest) {
			m.Accepted = nil
			m.Parameters = dropAccept(m.Parameters)
		})},
		{"an answer to what is not in doubt", name, "is of a source in doubt|accepted", raw(parameters, func(b []byte) []byte {
			return bytes.Replace(b, []byte(`"rate-unit=`), []byte(`"rate-low=`), 1)
		})},
		{"an answer of another source", name, `accepted\[0\]\.source`, edited(func(m *write.Manifest) { m.Accepted[0].Source = strings.Repeat("b", 64) })},
		{"another way", "", "", edited(func(m *write.Manifest) {
			if m.Way == "base" {
				m.Way = "loads"
				return
			}
			m.Way = "base"
		})},
		{"another program", name, `tool\.name is "other"`, typed(`"name": "rxsplit"`, `"name": "other"`)},
		{"a stamp that is no time", name, "its stamp", edited(func(m *write.Manifest) { m.Stamp = "this morning" })},
		{"another form", name, "has the form", typed(`"schema": "rxsplit.plan/1"`, `"schema": "rxsplit.plan/0"`)},
		{"a member added", name, `spare is 1, want missing`, typed(`"way":`, `"spare": 1,`+"\n \"way\":")},
		{"a member doubled", name, "line|findings", typed(`"findings":`, `"findings": [],`+"\n \"findings\":")},
		{"spaces between members", name, "line 2", typed("\n \"schema\"", "\n  \"schema\"")},
		{"a text after the manifest", name, "changed since|after its end|line", func(f *folder) bool { return f.sealText(string(f.bytes(name)) + " ") }},
		{"its digest of itself", name, "digest of itself", func(f *folder) bool {
			f.raw(name, bytes.Replace(f.bytes(name), []byte(`"way":`), []byte(`"way" :`), 1))
			return true
		}},
	}
}

// inputOf is the first input of a role.
func inputOf(m *write.Manifest, role string) *write.Input {
	return &m.Inputs[slices.IndexFunc(m.Inputs, func(in write.Input) bool { return in.Role == role })]
}

// dropAccept takes the answers out of a manifest's parameters, and leaves the rest as it stands.
func dropAccept(b []byte) []byte {
	from := bytes.Index(b, []byte(`"accept"`))
	to := from + bytes.IndexByte(b[from:], ']') + 1
	for b[to] != '"' {
		to++
	}
	return slices.Concat(b[:from], b[to:])
}

// sums returns what the manifest lists, by name.
func (f *folder) sums() map[string]write.FileSum {
	list := map[string]write.FileSum{}
	for _, s := range f.manifest().Files {
		list[s.Name] = s
	}
	return list
}

// listForgeries change which files there are.
func listForgeries() []forgery {
	unlist := func(name string) func(m *write.Manifest) {
		return func(m *write.Manifest) {
			m.Files = slices.DeleteFunc(m.Files, func(s write.FileSum) bool { return s.Name == name })
		}
	}
	return []forgery{
		{"a file removed", "sheets.txt", "is missing", func(f *folder) bool { return os.Remove(filepath.Join(f.dir, "sheets.txt")) == nil }},
		{"a file removed and unlisted", "sheets.txt", "is missing", func(f *folder) bool {
			return os.Remove(filepath.Join(f.dir, "sheets.txt")) == nil && f.edit(unlist("sheets.txt"))
		}},
		{"a layer's part removed and unlisted", "*.cpg", "is missing", func(f *folder) bool {
			return os.Remove(filepath.Join(f.dir, f.layer+".cpg")) == nil && f.edit(unlist(f.layer+".cpg"))
		}},
		{"one KML of the plan removed and unlisted", "*.kml", "is missing", func(f *folder) bool {
			if len(f.manifest().Layers) < 2 {
				return false
			}
			return os.Remove(filepath.Join(f.dir, f.layer+".kml")) == nil && f.edit(unlist(f.layer+".kml"))
		}},
		{"a file unlisted", "plan.json", "does not list report.html", func(f *folder) bool { return f.edit(unlist("report.html")) }},
		{"a file listed twice", "zones.csv", "is listed twice", func(f *folder) bool {
			return f.edit(func(m *write.Manifest) { m.Files = append(m.Files, f.sums()["zones.csv"]) })
		}},
		{"a file listed that is none of the plan", "plan.json", "lists extra.shp, which is no file of this plan", func(f *folder) bool {
			f.raw("extra.shp", []byte("x"))
			return f.edit(func(m *write.Manifest) {
				m.Files = append(m.Files, write.FileSum{Name: "extra.shp", SHA256: write.Digest([]byte("x")), Size: 1})
			})
		}},
		{"a file listed that lies elsewhere", "../field.geojson", "is no name of a file in the folder", func(f *folder) bool {
			return f.edit(func(m *write.Manifest) { m.Files[0].Name = "../field.geojson" })
		}},
		{"the files listed in another order", "plan.json", "line", func(f *folder) bool {
			return f.edit(func(m *write.Manifest) { slices.Reverse(m.Files) })
		}},
		{"another size listed", "zones.csv", "bytes", func(f *folder) bool {
			return f.edit(func(m *write.Manifest) {
				at := slices.IndexFunc(m.Files, func(s write.FileSum) bool { return s.Name == "zones.csv" })
				m.Files[at].Size++
			})
		}},
		{"a folder in a file's place", "sheets.txt", "regular file", func(f *folder) bool {
			path := filepath.Join(f.dir, "sheets.txt")
			return os.Remove(path) == nil && os.Mkdir(path, 0o777) == nil
		}},
		{"two files under each other's names", "sheets.txt", "line", func(f *folder) bool {
			csv, sheets := f.bytes("zones.csv"), f.bytes("sheets.txt")
			return f.put("zones.csv", sheets) && f.put("sheets.txt", csv)
		}},
	}
}

// approvalForgeries add an approval that is none of this plan.
func approvalForgeries() []forgery {
	said := func(f *folder) rx.Approval {
		m := f.manifest()
		return rx.Approval{By: "A. Nobody (invented)", At: morning, Plan: m.Self, Way: rx.WayName(m.Way)}
	}
	add := func(change func(a *rx.Approval), then func(text []byte) []byte) func(f *folder) bool {
		return func(f *folder) bool {
			a := said(f)
			change(&a)
			text, err := write.EncodeApproval(a)
			f.must(err)
			f.raw(write.ApprovalName, then(text))
			return true
		}
	}
	as := func(text []byte) []byte { return text }
	none := func(*rx.Approval) {}
	const name = write.ApprovalName
	return []forgery{
		{"an approval of another plan", name, "approves another plan", add(func(a *rx.Approval) { a.Plan = strings.Repeat("c", 64) }, as)},
		{"an approval of another way", name, "approves another plan", add(func(a *rx.Approval) { a.Way += "x" }, as)},
		{"an approval by another", name, "is no approval, or was changed", add(none, func(b []byte) []byte { return bytes.Replace(b, []byte("Nobody"), []byte("Somebody"), 1) })},
		{"an approval with more", name, "is no approval, or was changed", add(none, func(b []byte) []byte { return append(b, ' ') })},
		{"an approval that went with a plan since changed", name, "approves another plan", func(f *folder) bool {
			return add(none, as)(f) && f.edit(func(m *write.Manifest) { m.Stamp = "2026-05-01T07:30:00Z" })
		}},
		{"an approval that is a folder", name, "is no approval", func(f *folder) bool { return os.Mkdir(filepath.Join(f.dir, name), 0o777) == nil }},
	}
}
