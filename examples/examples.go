// Package examples embeds the example jobs. All are invented.
package examples

import "embed"

// Files holds the example jobs.
//
//go:embed *.yaml
var Files embed.FS

// Default is the job that the workbench opens with.
const Default = "library-trailer.yaml"
