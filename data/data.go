// Package data embeds the catalogue: rows of numbers, each with its source.
package data

import "embed"

// Files holds the catalogue's YAML files.
//
//go:embed *.yaml
var Files embed.FS
