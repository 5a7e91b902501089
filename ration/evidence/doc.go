// Package evidence is placeholder doc.
package evidence
