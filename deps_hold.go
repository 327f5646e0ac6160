package wreckwright

import (
	_ "github.com/alecthomas/kong"
	_ "github.com/bojanz/currency"
	_ "github.com/chromedp/chromedp"
	_ "github.com/goccy/go-yaml"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "golang.org/x/image/draw"
	_ "golang.org/x/sync/singleflight"
	_ "golang.org/x/text/language"
	_ "gonum.org/v1/gonum/stat"
	_ "modernc.org/sqlite"
	_ "pgregory.net/rapid"
)
