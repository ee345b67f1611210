package strictyaml

import "strings"

// suggest names the key that was probably meant, or else all of them.
func suggest(keys []Key, name string) string {
	best, least := "", 3
	for _, k := range keys {
		if n := distance(strings.ToLower(name), k.Name); n < least && n < len(name) {
			best, least = k.Name, n
		}
	}
	if best != "" {
		return "did you mean " + best + "?"
	}
	return "want " + listed(keys)
}

func listed(keys []Key) string {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.Name
	}
	return strings.Join(names, ", ")
}

// distance is the Levenshtein distance of two short words, with "_" and "-"
// taken for the same.
func distance(a, b string) int {
	a = strings.ReplaceAll(a, "_", "-")
	if len(a) > 40 {
		return len(a)
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, diagonal+1, row[j]+1)
		}
	}
	return row[len(b)]
}
