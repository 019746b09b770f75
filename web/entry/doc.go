// Package entry decides who may come in from other machines: by a passphrase,
// by a code shown on this machine, and by how often somebody may try.
package entry
