package read

import (
	"bytes"
	"io"
	"io/fs"

	"rxsplit/geo"
	"rxsplit/geo/shapefile"
)

// shapes decodes the parts of a shapefile, of points where a log is opened and it holds them.
func (opt FileOptions) shapes(parts shapefile.Files) (*geo.Layer, error) {
	if opt.points && shapefile.HoldsPoints(parts.Shp) {
		return shapefile.DecodePoints(parts)
	}
	return shapefile.Decode(parts)
}

// headOf reports whether the first geometry of a GeoJSON text is a point, and returns a
// reader of all of the text.
func headOf(r io.Reader) (whole io.Reader, points bool) {
	head := make([]byte, 1<<16)
	n, _ := io.ReadFull(r, head) // what is wrong shows again when the rest is read
	head = head[:n]
	point, polygon := bytes.Index(head, []byte(`"Point"`)), bytes.Index(head, []byte(`Polygon"`))
	return &rejoined{Reader: io.MultiReader(bytes.NewReader(head), r), from: r}, point >= 0 && (polygon < 0 || point < polygon)
}

// rejoined is a text whose head was looked at. It is as long as what it is read from.
type rejoined struct {
	io.Reader
	from io.Reader
}

// Stat describes the file that is read; a stream has none.
func (r *rejoined) Stat() (fs.FileInfo, error) {
	if file, ok := r.from.(interface{ Stat() (fs.FileInfo, error) }); ok {
		return file.Stat()
	}
	return nil, fs.ErrInvalid
}
