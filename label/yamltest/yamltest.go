// Package yamltest has what tests of documents share.
package yamltest

import (
	"fmt"
	"math"
	"reflect"
)

// NotFinite names the first number in a value that is infinite or no number, by its
// path of fields, or returns "" if there is none. Maps and interfaces are not
// looked into: what documents are read into has none.
func NotFinite(value any) string { return notFinite(reflect.ValueOf(value), "") }

func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if n := v.Float(); math.IsInf(n, 0) || math.IsNaN(n) {
			return fmt.Sprintf("%s is %v", path, n)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return notFinite(v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if found := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); found != "" {
				return found
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if found := notFinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); found != "" {
				return found
			}
		}
	}
	return ""
}
