package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// furtherMember holds the labels of the job's further liquids.
const furtherMember = "further_labels"

// parameters prints the request for the manifest.
func (q *Request) parameters() (json.RawMessage, error) {
	root, zip := members{}, members{}
	for _, o := range Options() {
		value := q.member(o)
		if o.member() == "" || value == nil {
			continue
		}
		into, name := &root, o.member()
		if rest, ok := strings.CutPrefix(name, "zip."); ok {
			into, name = &zip, rest
		}
		into.add(name, value)
	}
	if q.further != nil {
		texts := make([]string, len(q.further)) // empty where a liquid has no label
		for i, d := range q.further {
			texts[i] = string(d.text)
		}
		root.add(furtherMember, texts)
	}
	root.add("zip", json.RawMessage(zip.object()))
	return json.RawMessage(root.object()), errors.Join(zip.err, root.err)
}

// member is the value of an option in the manifest; nil for none.
func (q *Request) member(o Option) any {
	v := q.values[o.Name]
	if len(v) == 0 && o.Default != "" {
		v = []string{o.Default}
	}
	switch {
	case o.Name == labelName:
		return string(q.label.text)
	case o.Name == jobName && q.job.text != nil:
		return string(q.job.text)
	case o.Name == jobName || len(v) == 0:
		return nil
	case o.Kind == List:
		return v
	case o.Kind == Switch && v[0] == "true":
		return true
	case o.Kind == Switch:
		return nil
	case o.Kind == Number:
		return json.Number(v[0])
	}
	return v[0]
}

// members are those of a JSON object, in their order.
type members struct {
	text bytes.Buffer
	err  error // of those that could not be printed
}

// add prints a member without escapes for HTML.
func (m *members) add(name string, value any) {
	var one strings.Builder
	enc := json.NewEncoder(&one)
	enc.SetEscapeHTML(false)
	m.err = errors.Join(m.err, enc.Encode(value))
	if m.text.Len() > 0 {
		m.text.WriteByte(',')
	}
	fmt.Fprintf(&m.text, "%q:%s", name, strings.TrimSuffix(one.String(), "\n"))
}

func (m *members) object() string { return "{" + m.text.String() + "}" }

// requestOf reads the parameters that a manifest keeps.
func requestOf(parameters json.RawMessage) (*Request, error) {
	q := &Request{values: Values{}, once: new(documents)}
	var root, zip map[string]json.RawMessage
	if err := json.Unmarshal(parameters, &root); err != nil {
		return nil, err
	}
	if raw, ok := root["zip"]; ok {
		if err := json.Unmarshal(raw, &zip); err != nil {
			return nil, err
		}
	}
	var further []string
	if raw, ok := root[furtherMember]; ok {
		if err := json.Unmarshal(raw, &further); err != nil {
			return nil, err
		}
	}
	for _, text := range further {
		var d document
		if text != "" {
			d.text = []byte(text)
		}
		q.further = append(q.further, d)
	}
	for _, o := range Options() {
		raw, ok := root[o.member()]
		if rest, zipped := strings.CutPrefix(o.member(), "zip."); zipped {
			raw, ok = zip[rest]
		}
		if !ok {
			continue
		}
		if err := q.take(o, raw); err != nil {
			return nil, err
		}
	}
	return q, nil
}

// take sets an option to what a manifest says of it.
func (q *Request) take(o Option, raw json.RawMessage) error {
	if o.Kind == Switch || o.Kind == Number {
		q.values[o.Name] = []string{string(raw)}
		return nil
	}
	if o.Kind == List {
		var list []string
		err := json.Unmarshal(raw, &list)
		q.values[o.Name] = list
		return err
	}
	var text string
	if err := json.Unmarshal(raw, &text); err != nil {
		return err
	}
	switch o.Name {
	case labelName:
		q.label.text = []byte(text)
	case jobName:
		q.job.text = []byte(text)
	default:
		q.values[o.Name] = []string{text}
	}
	return nil
}
