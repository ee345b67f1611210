package app_test

import (
	"regexp"
	"slices"
	"strings"
)

// geojsonForgeries change the layer as GeoJSON, and as KML.
func geojsonForgeries() []forgery {
	const name = "*.geojson"
	of := func(from, to string) func(f *folder) bool {
		return func(f *folder) bool { return f.swap(f.layer+".geojson", from, to) }
	}
	return []forgery{
		{"a property added", name, `zone 1: .*(properties, want|a property "SPARE")`, of(`"properties":{`, `"properties":{"SPARE":7,`)},
		{"a property doubled", name, "line 2|can't be read|want", func(f *folder) bool {
			first := regexp.MustCompile(`"properties":\{("[^"]+":)`).FindStringSubmatch(string(f.bytes(f.layer + ".geojson")))
			return f.swap(f.layer+".geojson", `"properties":{`, `"properties":{`+first[1]+`1,`)
		}},
		{"a rate typed as text", name, "line 2|want", func(f *folder) bool {
			rate := regexp.MustCompile(`"properties":\{"[^"]+":([0-9.]+)`).FindStringSubmatch(string(f.bytes(f.layer + ".geojson")))
			return f.swap(f.layer+".geojson", rate[0], strings.TrimSuffix(rate[0], rate[1])+`"`+rate[1]+`"`)
		}},
		{"a rate spelled otherwise", name, "line 2", func(f *folder) bool {
			rate := regexp.MustCompile(`"properties":\{"[^"]+":([0-9]+)`).FindString(string(f.bytes(f.layer + ".geojson")))
			return f.swap(f.layer+".geojson", rate, rate+"e0")
		}},
		{"a rate of GeoJSON changed", name, `is ".*", want`, func(f *folder) bool {
			rate := regexp.MustCompile(`"properties":\{"[^"]+":`).FindString(string(f.bytes(f.layer + ".geojson")))
			return f.swap(f.layer+".geojson", rate, rate+"1")
		}},
		{"another id", name, "zone 1: .*its id is", of(`"id":1,`, `"id":7,`)},
		{"an id as text", name, "zone 1: .*string stands", of(`"id":1,`, `"id":"1",`)},
		{"a vertex of GeoJSON moved by a micrometer", name, "polygon", of(`[[-90.4,47.3]`, `[[-90.40000000001,47.3]`)},
		{"a vertex with a height", name, "line 2|can't be read", of(`[[-90.4,47.3]`, `[[-90.4,47.3,200]`)},
		{"a ring of GeoJSON rewound", name, "ring 1|line 2", func(f *folder) bool {
			ring := regexp.MustCompile(`\[\[-[^]]*\](,\[[^]]*\])+\]`).FindString(string(f.bytes(f.layer + ".geojson")))
			points := strings.Split(strings.Trim(ring, "[]"), "],[")
			slices.Reverse(points)
			return f.swap(f.layer+".geojson", ring, "[["+strings.Join(points, "],[")+"]]")
		}},
		{"a box before the features", name, "line 1", of(`"features":[`, `"bbox":[-91,47,-90,48],"features":[`)},
		{"a coordinate system named", name, "coordinate system", of(`"features":[`, `"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[`)},
		{"a member that no standard knows", name, `line 2|a member "note"`, of(`"type":"Feature",`, `"type":"Feature","note":"load twice",`)},
		{"another name of the layer", name, "line 1", of(`"name":"`, `"name":"x`)},
		{"a text after the last bracket", name, "does not end behind its last feature", func(f *folder) bool {
			return f.put(f.layer+".geojson", append(f.bytes(f.layer+".geojson"), ' '))
		}},
		{"a feature doubled", name, "records", func(f *folder) bool {
			return f.lines(f.layer+".geojson", func(l []string) []string {
				return slices.Insert(l, 1, strings.TrimRight(strings.TrimRight(l[1], "\n"), ",")[:len(strings.TrimRight(strings.TrimRight(l[1], "\n"), ","))-closing(l[1])]+",\n")
			})
		}},
		{"lines that end otherwise", name, "line 1", func(f *folder) bool {
			return f.lines(f.layer+".geojson", func(l []string) []string { l[0] = strings.Replace(l[0], "\n", "\r\n", 1); return l })
		}},
		{"a place in the KML", "*.kml", "line", func(f *folder) bool { return f.swap(f.layer+".kml", "-90.4", "-90.5") }},
		{"a text in the KML", "*.kml", "line", func(f *folder) bool { return f.swap(f.layer+".kml", "</name>", " (final)</name>") }},
		{"an element added to the KML", "*.kml", "line", func(f *folder) bool { return f.swap(f.layer+".kml", "</Document>", "<NetworkLink/></Document>") }},
	}
}

// closing counts what ends a collection behind its last feature.
func closing(line string) int {
	if text := strings.TrimRight(line, "\n"); strings.HasSuffix(text, "]}") && !strings.HasSuffix(text, "}}]}") == false {
		return 2
	}
	return 0
}

// textForgeries change what people read.
func textForgeries() []forgery {
	const csv, sheets, page = "zones.csv", "sheets.txt", "report.html"
	pattern := func(name, pattern, to string) func(f *folder) bool {
		return func(f *folder) bool {
			found := regexp.MustCompile(pattern).FindString(string(f.bytes(name)))
			return found != "" && f.swap(name, found, regexp.MustCompile(pattern).ReplaceAllString(found, to))
		}
	}
	return []forgery{
		{"a cell of the table of zones", csv, "line 2", pattern(csv, `110\.`, "111.")},
		{"a verdict", csv, "line 2", pattern(csv, ",below,|,within,|,above,", ",fine,")},
		{"a row dropped", csv, "line 3", func(f *folder) bool {
			return f.lines(csv, func(l []string) []string { return slices.Delete(l, 2, 3) })
		}},
		{"a last row dropped", csv, "ends after", func(f *folder) bool {
			return f.lines(csv, func(l []string) []string { return slices.Delete(l, 3, 4) })
		}},
		{"a row added", csv, "after its end", func(f *folder) bool { return f.put(csv, append(f.bytes(csv), "4,1,1\n"...)) }},
		{"two rows exchanged", csv, "line 2", func(f *folder) bool {
			return f.lines(csv, func(l []string) []string { l[1], l[2] = l[2], l[1]; return l })
		}},
		{"a column added to the table", csv, "line 1", pattern(csv, "verdict", "note,verdict")},
		{"a head of the table", csv, "line 1", pattern(csv, "lb/ac", "kg/ha")},
		{"a table saved by a spreadsheet", csv, "line 1", func(f *folder) bool {
			return f.put(csv, []byte(strings.ReplaceAll(string(f.bytes(csv)), "\n", "\r\n")))
		}},
		{"a figure of the sheets", sheets, "line", pattern(sheets, `[1-9][0-9.]* (fl oz|gal|lb|ac)\b`, "1 $1")},
		{"a caution taken off the sheets", sheets, "line", func(f *folder) bool {
			return f.lines(sheets, func(l []string) []string {
				at := slices.IndexFunc(l, func(s string) bool { return strings.Contains(strings.ToLower(s), "label") })
				return slices.Delete(l, at, at+1)
			})
		}},
		{"a sentence added to the sheets", sheets, "after its end", func(f *folder) bool { return f.put(sheets, append(f.bytes(sheets), "Double the dose.\n"...)) }},
		{"an empty sheet", sheets, "ends after 0 bytes", func(f *folder) bool { return f.put(sheets, nil) }},
		{"a figure of the page", page, "line", pattern(page, `[1-9][0-9.]* (fl oz|gal|lb|ac)\b`, "1 $1")},
		{"a script on the page", page, "line", func(f *folder) bool { return f.swap(page, "</body>", "<script>alert(1)</script></body>") }},
		{"a chart taken off the page", page, "line", func(f *folder) bool {
			chart := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindString(string(f.bytes(page)))
			return f.swap(page, chart, "")
		}},
		{"a row taken off the page", page, "line", func(f *folder) bool {
			row := regexp.MustCompile(`(?s)<tr.*?</tr>`).FindString(string(f.bytes(page)))
			return f.swap(page, row, "")
		}},
		{"the label on the page", page, "line", func(f *folder) bool { return f.swap(page, "max: 40 fl oz/ac", "max: 60 fl oz/ac") }},
		{"a space on the page", page, "after its end", func(f *folder) bool { return f.put(page, append(f.bytes(page), ' ')) }},
		{"a page of one byte other", page, "line 1", func(f *folder) bool { return f.swap(page, "<!doctype html>", "<!DOCTYPE html>") }},
	}
}
