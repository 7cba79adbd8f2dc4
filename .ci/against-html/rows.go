package main

import (
	"bytes"
	"fmt"
	"html"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

const style = `<!doctype html><meta charset="utf-8"><style>
@page { size: A4; margin: 15mm } body { font: 8.8pt "Liberation Sans", sans-serif } table { width: 100%;
border-collapse: collapse } thead { display: table-header-group } th { text-align: left } td, th { padding: 1mm;
border-bottom: 0.2mm solid #ccc } tr { break-inside: avoid }</style>
`

// page is what the certificate says, as one who prints from a browser would write it.
func page(a *judge.Assessment) []byte {
	d := certificate.Write(a, certificate.Options{Language: words.English{}, Revision: 1, Tool: "measured"})
	var b bytes.Buffer
	b.WriteString(style)
	put := func(element string, texts ...string) {
		fmt.Fprintf(&b, "<%s>%s</%[1]s>\n", element, html.EscapeString(strings.Join(texts, " ")))
	}
	put("h1", d.Title, d.Number)
	for _, s := range d.Sections {
		put("h2", s.Title)
		for _, block := range s.Blocks {
			switch block := block.(type) {
			case certificate.Prose:
				put("p", block.Text)
			case certificate.Pairs:
				for _, p := range block {
					put("p", p.Label, p.Value)
				}
			case certificate.Items:
				for _, i := range block {
					put("p", i.Mark, i.Grade, i.About, i.Text, i.Then)
				}
			case certificate.Table:
				table(&b, block, put)
			}
		}
	}
	return b.Bytes()
}

func table(b *bytes.Buffer, t certificate.Table, put func(string, ...string)) {
	b.WriteString("<table><thead><tr>")
	for _, c := range t.Columns {
		put("th", c.Head, c.Unit)
	}
	b.WriteString("</tr></thead><tbody>")
	for _, r := range t.Rows {
		for _, across := range []string{r.Head, r.Remark} {
			if across != "" {
				fmt.Fprintf(b, "<tr><td colspan=\"%d\">%s</td></tr>\n", len(t.Columns), html.EscapeString(across))
			}
		}
		b.WriteString("<tr>")
		for _, c := range r.Cells {
			put("td", c.Text)
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody></table>\n")
}
