//go:build js && wasm

// Command edge is the edge worker: it answers the two routes of web/api and
// nothing else. Pages and files go out by the platform itself, since every
// request that reaches this program starts it anew.
package main

import (
	"github.com/syumai/workers"

	"isthmus/web/api"
)

// versions is the content of the site's versions.json, put in by the linker
// (web/build, Edge), so that the worker and the files it stands beside say
// the same.
var versions string

func main() { workers.Serve(api.New(versions)) }
