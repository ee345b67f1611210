package read

import (
	"bytes"
	"cmp"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/geo/shapefile"
	"rxsplit/geo/taskdata"
)

// format is a kind of file that holds polygons and their cells.
type format struct {
	name    string   // as it stands in [rx.Source]
	endings []string // of its files, in lower case; the first is the usual one
	parts   []string // endings of what lies beside its files and is none by itself
	begins  []string // how its files begin, where the ending tells nothing; none for never
	file    string   // the name that its file has in any case; empty where it goes by its ending
	decode  func(path string, opt FileOptions) (*File, error)

	table        string // ending of the part that holds the cells; empty for the file itself
	byPlace      bool   // polygons and cells are two lists, paired by their places
	lonLat       bool   // it is in WGS 84 where it states no coordinate system
	systemBeside string // ending of the part that states the system, where one may lie beside the file
}

// formats lists what is read. It is a function, as the decoders name the formats in
// their hints.
func formats() []*format {
	return []*format{
		{
			name: "shapefile", endings: []string{".shp"}, parts: shapefile.Extensions()[1:],
			decode: decodeShapefile, table: ".dbf", byPlace: true, systemBeside: ".prj",
		},
		{
			name: "zipped shapefile", endings: []string{".zip"}, begins: []string{"PK\x03\x04"},
			decode: decodeArchive, table: ".dbf", byPlace: true,
		},
		{
			name: "GeoJSON", endings: []string{".geojson", ".json"}, begins: []string{"{"},
			decode: decodeGeoJSON, lonLat: true, // RFC 7946 §4
		},
		taskDataFormat(),
	}
}

// taskDataFormat is that of ISO 11783-10: a folder, or its main file.
func taskDataFormat() *format {
	return &format{name: "task data", file: taskdata.Main, decode: decodeTaskData, lonLat: true}
}

// onStandardInput is the format of what comes through a pipe.
const onStandardInput = "GeoJSON"

// Endings lists how the names of files end that can be opened, in lower case with the dot.
func Endings() (list []string) {
	for _, f := range formats() {
		list = append(list, f.endings...)
	}
	return list
}

// Table is how the name of a table ends that holds a log, or the zones of a plan.
const Table = ".csv"

// Parts lists how the names of files end that belong to one that can be opened.
func Parts() (list []string) {
	for _, f := range formats() {
		list = append(list, f.parts...)
	}
	return list
}

// Wanted tells what can be opened, for hints.
func Wanted() string {
	var list []string
	for _, f := range formats() {
		how := strings.Join(f.endings, ", ")
		list = append(list, f.name+" ("+cmp.Or(how, f.file)+")")
	}
	return "what can be read: " + strings.Join(list, ", ")
}

// formatOf tells a file's format by the ending of its name or, where that tells
// nothing, by how it begins.
func formatOf(path string) (*format, error) {
	ending, list := strings.ToLower(filepath.Ext(path)), formats()
	for _, f := range list {
		switch {
		case f.file != "" && strings.EqualFold(filepath.Base(path), f.file):
			return f, nil
		case path == "-" && f.name == onStandardInput, slices.Contains(f.endings, ending):
			return f, nil
		case slices.Contains(f.parts, ending):
			return nil, &Error{File: filepath.Base(path), What: "is one part of a " + f.name, Hint: "name the " + f.endings[0] + " that it belongs to"}
		}
	}
	head, err := firstBytes(path)
	if err != nil {
		return nil, err
	}
	head = bytes.TrimLeft(head, " \t\r\n\ufeff")
	for _, f := range list {
		if slices.ContainsFunc(f.begins, func(s string) bool { return bytes.HasPrefix(head, []byte(s)) }) {
			return f, nil
		}
	}
	return nil, &Error{File: filepath.Base(path), What: "is no prescription that can be read", Hint: Wanted()}
}
