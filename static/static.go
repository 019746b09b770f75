// Package static embeds what the browser loads: style, scripts, sounds, icon.
package static

import "embed"

// FS is the files, at its root.
//
//go:embed *.css *.js *.wav *.svg *.webmanifest
var FS embed.FS
