package hostile

import (
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// File is a file that is as large as a bound lets it be, or larger.
type File struct {
	Name string
	Make func() []byte
}

// Files are all that we have thought of. Some take seconds to make.
func (f Forger) Files() []File {
	return slices.Concat(f.flooded(), []File{
		{"zones", func() []byte { return f.Forged(f.Begun(SiteOf(2000, Names(2)...)).Bytes(), AsItIs) }},
		{"detectors", func() []byte { return f.Forged(f.Begun(SiteOf(5, Names(999)...)).Bytes(), AsItIs) }},
		{"notes", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for range 500 {
				w.Add(record.Note{Step: w.Steps[0].ID, Text: strings.Repeat("word ", 12<<10)})
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"short notes", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for range 70 {
				var fs []record.Fact
				for range 2000 {
					fs = append(fs, record.Note{Step: w.Steps[0].ID, Text: "a b"})
				}
				w.Add(fs...)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"answers", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for range 500 {
				w.Add(
					record.Answer{Step: w.Steps[0].ID, Result: record.Defect, Remark: strings.Repeat("word ", 12<<10)},
				)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"sitechanges", func() []byte {
			text := SiteOf(2000, Names(2)...)
			w := f.Begun(text)
			for i := range 14 {
				w.Add(record.SiteChanged{Site: text + fmt.Sprint("# ", i, "\n"), Programme: w.Steps})
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"connections", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for range 100 {
				var fs []record.Fact
				for range 600 {
					fs = append(fs, signal.Connection{Up: false, Why: signal.Broken}, signal.Connection{Up: true})
				}
				w.Add(fs...)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"signals", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for i := range 55 {
				var fs []record.Fact
				for j := range 2000 {
					fs = append(fs, signal.Signal{Address: fmt.Sprint("x", i, j), State: signal.Active})
				}
				w.Add(fs...)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"trials", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			step := w.detector()
			for range 100 {
				var fs []record.Fact
				for range 500 {
					fs = append(
						fs,
						record.Cue{Step: step, Half: record.Operate},
						record.Ended{Step: step, By: record.ByTime},
					)
				}
				w.Add(fs...)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"stated", func() []byte {
			return f.Forged(f.Honest, func(s *evidence.Statement, _ *seal.Contents) {
				for i := range 500000 {
					s.Stated = append(s.Stated, certificate.Stated{Key: fmt.Sprint(i), Text: "x"})
				}
			})
		}},
		{"judged", func() []byte {
			return f.Forged(f.Honest, func(s *evidence.Statement, _ *seal.Contents) {
				s.Judged = []byte(`{"a":[` + strings.Repeat("1,", 3_000_000) + "1]}")
			})
		}},
		{"judged objects", func() []byte {
			return f.Forged(f.Honest, func(s *evidence.Statement, _ *seal.Contents) {
				s.Judged = []byte(`{"a":[` + strings.Repeat("{},", 2_000_000) + "1]}")
			})
		}},
		{"one line", func() []byte { return f.Forged([]byte(strings.Repeat("[", 31<<20)), AsItIs) }},
		{"zeros", func() []byte { return f.Forged([]byte(strings.Repeat("\x00", 31<<20)), AsItIs) }},
		{"attachments", func() []byte {
			return f.Forged(f.Honest, func(_ *evidence.Statement, c *seal.Contents) {
				for i := range 2000 {
					c.Attachments = append(
						c.Attachments,
						seal.Attachment{Name: fmt.Sprint("x", i), Media: "a", Content: []byte("x")},
					)
				}
			})
		}},
		{"remarks", func() []byte {
			w := f.Begun(SiteOf(5, Names(999)...))
			for _, s := range w.Steps {
				if s.Kind == "detector" {
					w.Add(record.Answer{Step: s.ID, Result: record.AsItIs, Remark: strings.Repeat("word ", 1000)})
				}
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"remarks800", func() []byte {
			w := f.Begun(SiteOf(5, Names(999)...))
			for _, s := range w.Steps {
				if s.Kind == "detector" {
					w.Add(record.Answer{Step: s.ID, Result: record.AsItIs, Remark: strings.Repeat("w ", 240)})
				}
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"corrected notes", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for range 70000 {
				w.Add(record.Note{Step: w.Steps[0].ID, Text: "a"})
			}
			for i := range 130 {
				w.Add(
					record.Corrected{Entry: 4 + i, Field: "text", Text: fmt.Sprint(i), Reason: "typed wrong", By: "me"},
				)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"signed", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			step := programme.IDCustomer
			acc := make([]record.Acceptance, 100_000)
			for i := range acc {
				acc[i] = record.Acceptance{ID: "F1", Said: []byte("{}"), Shown: "x"}
			}
			w.Add(record.Signed{Step: step, Role: "customer", Name: "x", Accepted: acc, Position: "owner"})
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"parts", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for i := range 90000 {
				w.Add(record.PartAnswer{Step: w.Steps[0].ID, Question: fmt.Sprint("q", i), Text: "a"})
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"struck", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			step := w.detector()
			for i := range 1800 {
				w.Add(
					record.Cue{Step: step, Half: record.Operate},
					record.Ended{Step: step, By: record.ByTime},
					record.Struck{Step: step, Trial: i + 1, Reason: "kicked"},
				)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"corrections", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			w.Add(record.Answer{Step: w.Steps[0].ID, Result: record.Done, Remark: "a"})
			for i := range 2 {
				var fs []record.Fact
				for j := range 2000 {
					fs = append(
						fs,
						record.Corrected{
							Entry:  4,
							Field:  "remark",
							Text:   fmt.Sprint(i, j),
							Reason: "typed wrong",
							By:     "me",
						},
					)
				}
				w.Add(fs...)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"undertakings", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for i := range 2 {
				var fs []record.Fact
				for j := range 2000 {
					fs = append(
						fs,
						record.Undertaken{
							Said:   []byte(fmt.Sprintf("{\"a\":%d}", i*2000+j)),
							Action: "put-right",
							By:     "2027-01-01",
							Who:    "me",
						},
					)
				}
				w.Add(fs...)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"runs", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			_ = w
			for i := range 20000 {
				_ = i
				var fs []record.Fact
				fs = append(fs, record.Paused{By: "technician"})
				w.Add(fs...)
				w.Again()
				w.Add(
					record.Resumed{Tool: "x"},
					signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7},
				)
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"objects", func() []byte {
			n := make([]pdffile.Object, 2)
			n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
			n[1] = pdffile.Dict{}
			all := pdffile.Array{}
			for range 400_000 {
				all = append(all, pdffile.Dict{"A": pdffile.Array{}})
			}
			n = append(n, all)
			return pdffile.From(n, nil).Bytes()
		}},
		{"numbers", func() []byte {
			n := make([]pdffile.Object, 2)
			n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
			n[1] = pdffile.Dict{}
			all := pdffile.Array{}
			for range 950_000 {
				all = append(all, pdffile.Number("123456789012345678901234567890123456789012345678901234567890"))
			}
			n = append(n, all)
			return pdffile.From(n, nil).Bytes()
		}},
		{"references", func() []byte {
			n := make([]pdffile.Object, 2)
			n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
			n[1] = pdffile.Dict{}
			for i := range 100_000 {
				n = append(n, pdffile.Dict{"A": pdffile.Ref(i + 4)})
			}
			n = append(n, pdffile.Dict{})
			return pdffile.From(n, nil).Bytes()
		}},
		{"big string", func() []byte {
			n := make([]pdffile.Object, 2)
			n[0] = pdffile.Dict{"A": pdffile.String{Bytes: make([]byte, 30<<20)}}
			n[1] = pdffile.Dict{}
			return pdffile.From(n, nil).Bytes()
		}},
		{"big stream", func() []byte {
			n := make([]pdffile.Object, 2)
			n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
			n[1] = pdffile.Dict{}
			n = append(n, pdffile.Stream{Dict: pdffile.Dict{}, Raw: make([]byte, 63<<20)})
			return pdffile.From(n, nil).Bytes()
		}},
		{"photographs", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			return f.Forged(w.Photographs(15, 8000, 5000), w.Attach)
		}},
	})
}
