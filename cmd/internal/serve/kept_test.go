package serve

import (
	options "flag"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	digests "rxsplit/internal/oracle/kept"
)

var update = options.Bool("update", false, "write the digests of all pages anew")

// keptPath lists the digests of pages, by the requests that they answer.
const keptPath = "testdata/kept.txt"

// keptRequests are sent in this order: an address, what is posted to one
// ("POST "), a form of a file that is filled in ("FORM action file "), one of another page ("FILL action page ").
var keptRequests = []string{
	"", "job", "label", "gone", "static/page.css", "static/serve.css", "static/serve.js", "static/none",
	"field?file=two.geojson", "field?file=two.geojson&label=none.yaml", "field?file=gone.zip", "field?file=../x.zip", "plan?dir=plan",
	"POST demo", "", "job?file=job.yaml", "label?file=label.yaml", "label?file=bad.yaml",
	"field?file=field.zip&job=job.yaml", "field?file=field.zip&job=job.yaml&way=wet-boom", "field?file=field.zip&job=job.yaml&way=loads&units=metric",
	"field?file=field.zip&job=job.yaml&way=one-load", "field?file=field.zip&job=job.yaml&way=base&leave-off=true&rate-error=0&loading=300 fl oz/ton",
	"field?file=two.geojson&label=label.yaml", "field?file=two.geojson&label=label.yaml&rate-field=RATE&rate-unit=lb/ac", "field?file=two.geojson&label=bad.yaml&rate-field=RATE",
	"POST try?file=field.zip&job=job.yaml&way=base",
	"POST split?file=field.zip&job=job.yaml&way=wet-boom&out=one", "POST split?file=field.zip&job=job.yaml&way=wet-boom&out=one", "POST split?file=field.zip&job=job.yaml&way=loads&out=two",
	"plan?dir=one", "POST verify?dir=one", "POST approve?dir=one&by=A. Nobody (invented)&note=none", "POST approve?dir=one&by=", "plan?dir=one", "plan?dir=two",
	"show/one/report.html", "show/one/plan.json", "show/one/sheets.txt", "show/one/../job.yaml", "zip?dir=one",
	"FORM job job.yaml spreader.swath=80&spreader.turn=20&spreader.turn unit=s", "FORM job job.yaml boom.width=much", "FORM label label.yaml rate.max=19", "FORM label label.yaml rate.max=38", "FORM try label.yaml rate.max=",
	"FILL approve plan?dir=one by=A. Nobody (invented)&note=none", "plan?dir=one", "POST approve?dir=one", "field?file=field.zip&job=job.yaml&units=metric",
	"POST label?file=label.yaml&name=", "job?file=new.yaml", "work?id=none", "step?id=none", "",
	"POST cancel?id=none", "field?file=", "field?file=field.zip&file=two.geojson&units=metric&units=us", "label?file=field.zip", "job?file=long.yaml", "job?file=sub/job.yaml",
	"show/one/liquid.dbf", "show/one/liquid.prj", "show/one/liquid.geojson", "show/one/zones.csv", "show/one/none.csv", "zip?dir=none", "plan?dir=sub", "plan?dir=../one",
	"field?file=field.zip&job=job.yaml&already-applied=79 fl oz/ac", "field?file=field.zip&job=job.yaml&already-applied=45 fl oz/ac&way=one-load",
	"POST demo", "POST split?file=field.zip&job=job.yaml&way=refit&out=three&kml=1&stamp=1", "field?file=field.zip&job=job.yaml&way=refit", "plan?dir=three",
	"POST split?file=field.zip&job=job.yaml&way=refit&out=../three", "POST split?file=field.zip&job=job.yaml&way=refit&out=", "POST split?file=field.zip&job=job.yaml&way=refit&out=none/three",
	"POST split?file=two.geojson&label=label.yaml&rate-field=RATE&rate-unit=kg/ha&out=four", "POST split?file=two.geojson&label=label.yaml&rate-field=N_RATE&out=five&accept.rate-of-n=meant", "plan?dir=five",
	"FILL approve plan?dir=three by=A. Nobody (invented)&license=00-000&note=", "plan?dir=three",
	"FORM label label.yaml season-max=&ppe=&density=9.2", "FORM label label.yaml next=field?file=field.zip&rate.max=39", "FORM label label.yaml next=plan?dir=one&rate.max=40",
	"FORM job job.yaml spreader.turn=&crop=&boom.sections=", "FORM job sub/job.yaml crop=wheat", "FORM label label.yaml new=1&file=label.yaml", "FORM label label.yaml new=1&file=other.txt", "FORM label label.yaml new=1&file=other", "FORM label?new=1&next=field? label.yaml density=9",
	"FILL job job file=a:b.yaml&label=label.yaml", "FILL job job file=own.txt&label=label.yaml", "FILL job job file=own.yaml&label=label.yaml", "field?file=two.geojson&label=label.yaml&rate-field=N_RATE", "FORM try label.yaml rate.max=400", "label", "label?file=label.yaml&units=metric", "job?file=job.yaml",
}

// Every page of a fixed folder, byte for byte, by digests.
func TestPagesAreKept(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the system's own words stand in messages")
	}
	path, err := filepath.Abs(keptPath)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	os.MkdirAll("fields/sub", 0o777)
	t.Chdir("fields")
	for name, text := range map[string]string{"two.geojson": twoColumns, "bad.yaml": "name: Bad (invented)\nrate: {min: 20 fl oz}\n", "long.yaml": strings.Repeat("# long\n", mostText/7+1), "sub/job.yaml": "label: ../label.yaml # there\n"} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	noon := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	v := visitHere(t, Options{Now: func() time.Time { return noon }})
	wd, _ := os.Getwd()
	same := strings.NewReplacer(v.base, "$BASE/", v.server.prefix, "/$PREFIX/", v.server.host, "$HOST", wd, "$WORK")
	requests := keptRequests
	if testing.Short() {
		requests = requests[:slices.Index(requests, "POST demo")]
	}
	var lines strings.Builder
	dir := digests.Dir(t)
	for _, request := range requests {
		status, kind, body := v.asks(request)
		fmt.Fprintf(&lines, "%s\n  exit %d\n", request, status)
		if body = same.Replace(body); body != "" && !strings.HasPrefix(request, "zip") {
			fmt.Fprintf(&lines, "  %s %s\n", kind, digests.Lay(path, dir, []byte(body)))
		}
	}
	digests.Hold(t, path, dir, map[string]string{"pages": lines.String()}, *update)
}

// asks sends one of keptRequests.
func (v *visitor) asks(request string) (status int, kind, body string) {
	r := v.request(request)
	return r.StatusCode, r.Header.Get("Content-Type") + r.Header.Get("Cache-Control"), v.see(r, r.StatusCode)
}

func (v *visitor) request(request string) *http.Response {
	encoded := strings.ReplaceAll(request, " ", "%20")
	method, rest, _ := strings.Cut(request, " ")
	words := strings.SplitN(rest, " ", 3)
	var form url.Values
	switch method {
	case "POST":
		address, query, _ := strings.Cut(rest, "?")
		return v.answer(http.MethodPost, address, mustForm(query), nil)
	case "FORM": // of a text file, as its page sends it
		text, err := os.ReadFile(words[1])
		if err != nil {
			v.t.Fatal(err)
		}
		kind, _, _ := strings.Cut(filepath.Base(words[1]), ".")
		form = sent(kind, words[1], text)
	case "FILL":
		form = v.form(words[1], words[0])
	default:
		return v.answer(http.MethodGet, encoded, nil, nil)
	}
	for name, values := range mustForm(words[2]) {
		form[name] = values
	}
	return v.answer(http.MethodPost, words[0], form, nil)
}
