module rxsplit

go 1.26.3

require (
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/go-faster/jx v1.2.0
	github.com/goccy/go-yaml v1.19.2
	github.com/jonas-p/go-shp v0.1.1
	github.com/paulmach/orb v0.14.0
	github.com/peterstace/simplefeatures v0.59.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/spf13/cobra v1.10.2
	github.com/tidwall/geodesic v1.52.4
	github.com/twpayne/go-geom v1.7.0
	golang.org/x/sync v0.24.0
	golang.org/x/sys v0.30.0
	golang.org/x/text v0.23.0
	pgregory.net/rapid v1.3.0
)

require gonum.org/v1/gonum v0.17.0

require (
	github.com/go-faster/errors v0.7.1 // indirect
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875
	github.com/inconshreveable/mousetrap v1.1.0
	github.com/segmentio/asm v1.2.1 // indirect
	github.com/spf13/pflag v1.0.9
	golang.org/x/tools v0.30.0 // indirect
)
