// Package store keeps cases, films and settings in the browser's IndexedDB
// behind state.Store. Every operation is one short transaction: all requests
// are issued in a row, then the end of the transaction is awaited, and only
// that is called saved. Films are Uint8Array, never Blob.
//
// What the browser does behind its back ends in a sentence: no storage at
// all, storage that does not answer, a second tab with another version, a
// connection lost while the phone slept, a full device.
package store
