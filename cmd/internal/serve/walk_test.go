package serve

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	cdp "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rxsplit/cmd/internal/app"
	"rxsplit/internal/oracle"
	"rxsplit/internal/oracle/browser"
)

// program builds the command line's program, for what a page shows to be typed.
func program(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	build := exec.Command("go", "build", "-o", filepath.Join(dir, "rxsplit"), "rxsplit/cmd/rxsplit")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return dir
}

// click presses what has a text.
func click(t *testing.T, tab context.Context, kind, text string) {
	t.Helper()
	script := fmt.Sprintf(`(() => { const e = [...document.querySelectorAll(%q)].find(e => e.textContent.trim().startsWith(%q)); if (!e) return false; e.closest("details")?.setAttribute("open", ""); e.click(); return true; })()`, kind, text)
	if !browser.Evaluate[bool](t, tab, script) {
		t.Fatalf("there is no %s %q: %.1500s", kind, text, browser.Evaluate[string](t, tab, "document.body.innerText"))
	}
}

// enter fills in a field as typing does.
func enter(t *testing.T, tab context.Context, name, value string) {
	t.Helper()
	script := fmt.Sprintf(`(() => { const e = document.querySelector('[name="%s"]'); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); return e.value; })()`, name, value)
	if got := browser.Evaluate[string](t, tab, script); got != value {
		t.Fatalf("%s takes %q for %q", name, got, value)
	}
}

// downloaded waits for an archive that the browser writes, and returns its bytes. The browser
// puts an empty file under the name at once: the file is there when it is an archive.
func downloaded(t *testing.T, tab context.Context, name string) string {
	t.Helper()
	for ; tab.Err() == nil; time.Sleep(50 * time.Millisecond) {
		data, err := os.ReadFile(name)
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		if _, err := zip.NewReader(bytes.NewReader(data), int64(len(data))); err == nil {
			return string(data)
		}
	}
	t.Fatalf("the download of %s does not come", name)
	return ""
}

// TestWalk does the whole job in a browser, from an empty folder to a plan that the program
// proves from its download, and types the command that the page shows.
func TestWalk(t *testing.T) {
	oracle.Asked(t)
	bin := program(t)
	v := visit(t, nil)
	tab := browser.Open(t)
	downloads := t.TempDir()
	if _, err := chromedp.Call(tab, cdp.SetDownloadBehavior, cdp.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: downloads}); err != nil {
		t.Fatal(err)
	}
	browser.Do(t, tab, chromedp.Navigate(v.server.Address()))
	browser.Until(t, tab, `document.body.innerText.includes("There is no prescription")`)
	browser.Shoot(t, tab, "walk-1")
	if at := browser.Evaluate[string](t, tab, "location.href"); strings.Contains(at, "key") {
		t.Errorf("the key stays in the address %s", at)
	}

	field := app.DemoFiles()[slices.IndexFunc(app.DemoFiles(), func(f app.DemoFile) bool { return f.Name == "field.zip" })]
	browser.Evaluate[bool](t, tab, fmt.Sprintf(`(() => { const dt = new DataTransfer(); dt.items.add(new File([Uint8Array.from(atob(%q), c => c.charCodeAt(0))], "field.zip"));
		document.body.dispatchEvent(new DragEvent("drop", {dataTransfer: dt, bubbles: true, cancelable: true})); return true; })()`, base64.StdEncoding.EncodeToString(field.Text)))
	browser.Until(t, tab, `document.body.innerText.includes("Choose it.")`)
	browser.Shoot(t, tab, "walk-2")
	click(t, tab, "a", "Enter the label")
	browser.Until(t, tab, `document.querySelector("form[data-try]")`)
	browser.Shoot(t, tab, "walk-3")
	enter(t, tab, "name", "Invented stabilizer")
	enter(t, tab, "rate.min", "20")
	enter(t, tab, "rate.min unit", "fl oz/ac")
	enter(t, tab, "rate.max", "40 fl oz/ton") // the wrong unit
	browser.Until(t, tab, `document.getElementById("e-rate.max").textContent.includes("want a liquid rate")`)
	browser.Shoot(t, tab, "walk-4")
	click(t, tab, "button", "Save")
	browser.Until(t, tab, `document.body.innerText.includes("Not saved yet")`)
	browser.Shoot(t, tab, "walk-5")
	if at := browser.Evaluate[string](t, tab, `document.activeElement.id`); at != "f-rate.max" {
		t.Errorf("the keyboard is at %q, not where something is wrong", at)
	}
	enter(t, tab, "rate.max", "40")
	enter(t, tab, "rate.max unit", "fl oz/ac")
	browser.Until(t, tab, `document.getElementById("e-rate.max").textContent == ""`)
	browser.Shoot(t, tab, "walk-6")
	click(t, tab, "button", "Save")

	browser.Until(t, tab, `document.getElementById("rate") && document.body.innerText.includes("Choose it.")`)
	browser.Shoot(t, tab, "walk-7")
	browser.Evaluate[bool](t, tab, `document.querySelector('input[name="rate-field"][value="DRY_LBAC"]').checked = true`)
	click(t, tab, "button", "Take this")
	if !browser.Evaluate[bool](t, tab, `document.querySelector("[name=rate-of]:invalid") !== null && document.getElementById("decision") === null`) {
		t.Error("nobody is asked whether the rates count product or N")
	}
	browser.Evaluate[bool](t, tab, `document.querySelector('input[name="rate-of"][value="product"]').checked = true`)
	enter(t, tab, "rate-unit", "lb/ac")
	click(t, tab, "button", "Take this")
	browser.Until(t, tab, `document.getElementById("decision")`)
	browser.Shoot(t, tab, "walk-8")
	if text := browser.Evaluate[string](t, tab, `document.getElementById("decision").innerText`); !strings.Contains(text, "Do not impregnate this as one blend") {
		t.Errorf("the decision is %q", text)
	}
	click(t, tab, "a.button", "Choose wet boom")
	browser.Until(t, tab, `document.getElementById("release")`)
	browser.Shoot(t, tab, "walk-9")
	command := browser.Evaluate[string](t, tab, `document.querySelector("#release ~ details pre, section[aria-labelledby=release] pre").textContent`)
	click(t, tab, "button", "Write and prove the plan")
	browser.Until(t, tab, `document.body.innerText.includes("The plan is written and proved")`)
	browser.Shoot(t, tab, "walk-10")
	enter(t, tab, "by", "Invented Agronomist")
	click(t, tab, "button", "Approve this plan")
	if n := browser.Evaluate[int](t, tab, `document.querySelectorAll("[name=met]:invalid").length`); n == 0 {
		t.Error("no condition wants to be ticked")
	}
	browser.Evaluate[bool](t, tab, `(document.querySelectorAll("[name=met]").forEach(e => { e.checked = true; }), true)`)
	click(t, tab, "button", "Approve this plan")
	browser.Until(t, tab, `document.body.innerText.includes("Approved by Invented Agronomist")`)
	browser.Shoot(t, tab, "walk-11")
	browser.Do(t, tab, chromedp.EmulateViewport(390, 800))
	browser.Shoot(t, tab, "walk-11-390")
	if n := browser.Evaluate[int](t, tab, `[...document.querySelectorAll(".scroll")].filter(e => e.scrollWidth > e.clientWidth + 1).length`); n > 0 {
		t.Errorf("%d tables go on beyond a phone's screen", n)
	}
	click(t, tab, "a", "Download all")
	unzip(t, downloaded(t, tab, filepath.Join(downloads, "field-wet-boom.zip")), ".")

	// The page of the plan is shown, and its scripts work, though it is kept apart.
	browser.Do(t, tab, chromedp.Navigate(v.base+"show/field-wet-boom/report.html"))
	browser.Until(t, tab, `document.querySelector("h1")`)
	browser.Shoot(t, tab, "walk-12")
	if browser.Evaluate[string](t, tab, `window.origin`) != "null" {
		t.Error("the page of a plan is of our own site")
	}

	// A zone that is picked there is in the address, as in the file that is opened from the disk.
	browser.Evaluate[bool](t, tab, `(() => { window.wrong = []; addEventListener("error", e => wrong.push(e.message)); const z = document.querySelector("path.z"); z.dispatchEvent(new MouseEvent("click", {bubbles: true})); z.dispatchEvent(new PointerEvent("pointerdown", {bubbles: true})); z.dispatchEvent(new PointerEvent("pointerup", {bubbles: true})); return true; })()`)
	if got := browser.Evaluate[string](t, tab, `location.hash + " " + JSON.stringify(wrong)`); !strings.HasPrefix(got, "#zone=") || !strings.HasSuffix(got, " []") {
		t.Errorf("a zone that is picked leads to %s", got)
	}
	typed := strings.Replace(command, "--out field-wet-boom", "--out typed", 1)
	for _, line := range []string{typed, "rxsplit verify field-wet-boom"} {
		sh := exec.Command("sh", "-c", line)
		sh.Env = append(os.Environ(), "PATH="+bin+":"+os.Getenv("PATH"))
		out, err := sh.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v: %s", line, err, out)
		}
		if strings.Contains(line, "verify") {
			wants(t, string(out), "Invented Agronomist")
		}
	}
	os.Remove("field-wet-boom/approval.json")
	sameFiles(t, "field-wet-boom", "typed")
}

// TestProgress looks at work that takes long: how far it is, and what it comes to then.
func TestProgress(t *testing.T) {
	oracle.Asked(t)
	v := visit(t, map[string]string{"grid.geojson": cells(6), "label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"})
	v.server.patience = 0
	tab := browser.Open(t)
	_, goOn := v.hold("zones", 0)
	browser.Do(t, tab, chromedp.Navigate(v.server.Address()))
	browser.Until(t, tab, `document.querySelector(".card a")`)
	browser.Do(t, tab, chromedp.Navigate(v.base+"field?file=grid.geojson&label=label.yaml"))
	browser.Until(t, tab, `document.getElementById("step")?.textContent.startsWith("Measuring the zones")`)
	close(goOn)
	browser.Until(t, tab, `document.getElementById("ways")`)
}

// TestKeyboardAlone does the job of the invented field without a pointer.
func TestKeyboardAlone(t *testing.T) {
	oracle.Asked(t)
	v := visit(t, nil)
	tab := browser.Open(t)
	browser.Do(t, tab, chromedp.EmulateViewport(1280, 800), chromedp.Navigate(v.server.Address()))
	browser.Until(t, tab, "document.querySelector('footer')")
	steps := 0
	to := func(text string) {
		t.Helper()
		for range 250 {
			browser.Do(t, tab, chromedp.KeyEvent(kb.Tab))
			steps++
			got := browser.Evaluate[string](t, tab, `(() => { const e = document.activeElement, s = getComputedStyle(e); return (s.outlineStyle == "none" && e != document.body && e.tagName != "path" ? "unseen " : "") + (e.name || "") + " " + (e.textContent || e.value || "").trim().slice(0, 60); })()`)
			if strings.HasPrefix(got, "unseen") {
				t.Errorf("the focus can't be seen on %q", got)
			}
			if strings.Contains(got, text) {
				return
			}
		}
		t.Fatalf("the tab key never comes to %q", text)
	}
	press := func(key string) { browser.Do(t, tab, chromedp.KeyEvent(key)) }
	to("Use the invented field")
	press(kb.Enter)
	browser.Until(t, tab, `document.querySelector(".card a") && !document.getElementById("step")`)
	to("field.zip")
	press(kb.Enter)
	browser.Until(t, tab, `document.getElementById("ways") && !document.getElementById("step")`)
	to("Choose wet boom")
	press(kb.Enter)
	browser.Until(t, tab, `document.getElementById("release")`)
	to("Write and prove")
	press(kb.Enter)
	browser.Until(t, tab, `document.getElementById("approve")`)
	to("by ")
	browser.Do(t, tab, chromedp.KeyEvent("Ann"))
	press(kb.Enter)
	browser.Until(t, tab, `document.body.innerText.includes("Approved by Ann")`)
	t.Logf("%d presses of the tab key", steps)
	if _, err := (app.Run{}).Verify(t.Context(), "field-wet-boom", app.InputsAt{}); err != nil {
		t.Error(err)
	}
}
