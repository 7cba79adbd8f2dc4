// Package certificate turns an assessment into the pages of a certificate.
//
// It works in two steps: Write makes a plain Document (sections, tables,
// sentences), which is where content is decided and tested; Render lays it out
// and draws it. Neither reads a clock or a file.
package certificate
