package page

import (
	"html/template"
	"strings"
	"testing"
)

// What is laid out without templates is escaped as they escape it, every byte.
func TestTextIsEscapedAsTemplatesDo(t *testing.T) {
	var hostile strings.Builder
	for b := range 256 {
		hostile.WriteByte(byte(b))
	}
	hostile.WriteString(`</td><script>alert("x")</script>é–" onclick='y'`)
	text := hostile.String()
	var want strings.Builder
	layout := template.Must(template.New("").Parse(`<td class="{{.}}" data-key="{{.}}" data-value="{{.}}" data-label="{{.}}">{{.}}</td>`))
	if err := layout.Execute(&want, text); err != nil {
		t.Fatal(err)
	}
	laid := cell(pageCell{Text: text, Key: text, Value: text, Class: text, Label: text})
	if got := strings.NewReplacer(`<span class="w">`, "", "</span>", "").Replace(string(laid)); got != want.String() {
		t.Errorf("got %q, want %q", got, want.String())
	}
}
