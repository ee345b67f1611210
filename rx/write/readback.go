package write

import (
	"path/filepath"
	"slices"
)

// readBack holds against the manifest what [Verify] does not compare: the manifest
// itself, the sheets and the page, the table of zones, and the small parts of the
// shapefiles.
func (m *Manifest) readBack(dir string) error {
	written, err := ReadManifest(dir)
	if err != nil {
		return err
	}
	rest := Manifest{Files: slices.DeleteFunc(slices.Clone(m.Files), func(f FileSum) bool {
		return slices.Contains([]string{".shp", ".dbf", ".geojson"}, filepath.Ext(f.Name))
	})}
	wrong := rest.CheckFiles(dir)
	if written.Self != m.Self {
		wrong = append(wrong, Mismatch{File: ManifestName, What: "is not the one that was written"})
	}
	if len(wrong) > 0 {
		return &VerifyError{Dir: dir, Mismatches: wrong}
	}
	return nil
}
