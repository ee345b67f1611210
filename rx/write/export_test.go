package write

// What tests name.
const (
	ManifestName = manifestName
)
