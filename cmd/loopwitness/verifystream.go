package main

import (
	"bytes"
	"encoding/json"
	"fmt"

	"loopwitness/report/verify"
)

// printer prints reports one after the other.
type printer interface {
	report(*verify.Report) error
	// end prints what all gave together. found: only those were told that a fingerprint
	// fits. broken: not all were checked.
	end(t tally, found, broken bool) error
}

func (s streams) printer(asJSON bool) printer {
	if asJSON {
		return &jsonPrinter{s: s}
	}
	return &linePrinter{s: s}
}

type linePrinter struct {
	s    streams
	some bool
}

func (p *linePrinter) report(r *verify.Report) error {
	if p.some {
		p.s.say("")
	}
	p.some = true
	p.s.report(r)
	return nil
}

func (p *linePrinter) end(t tally, found, broken bool) error {
	if broken {
		return nil
	}
	if found && t.told > 0 {
		p.s.say("\nThe fingerprint fits %d of %d files", t.told, t.files)
	}
	if t.told > 1 {
		p.s.say("\n%d files: %d intact, %d fail, %d not wholly checked", t.told,
			t.count[verify.Intact], t.count[verify.Failed], t.count[verify.Unchecked])
		if t.contradicts > 0 {
			p.s.say("%d of them with a RECORD THAT CONTRADICTS ITSELF", t.contradicts)
		}
		if t.practice > 0 {
			p.s.say("%d of them of PRACTICE visits, no evidence of any installation", t.practice)
		}
	}
	return nil
}

// jsonPrinter prints one object whose list of files grows. When it is broken off, the
// object is whole all the same and says so.
type jsonPrinter struct {
	s    streams
	some bool
}

func (p *jsonPrinter) report(r *verify.Report) error {
	if err := p.begin(); err != nil {
		return err
	}
	lead := ",\n    "
	if !p.some {
		lead = "\n    "
	}
	p.some = true
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("    ", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(r); err != nil {
		return err
	}
	return write(p.s.out, []byte(lead+inertJSON(string(bytes.TrimSpace(b.Bytes())))))
}

func (p *jsonPrinter) begin() error {
	if p.some {
		return nil
	}
	_, err := fmt.Fprintf(p.s.out, "{\n  \"tool\": %q,\n  \"files\": [", tool)
	return err
}

func (p *jsonPrinter) end(t tally, _, broken bool) error {
	none := !p.some
	if err := p.begin(); err != nil {
		return err
	}
	before := "\n  "
	if none {
		before = ""
	}
	_, err := fmt.Fprintf(p.s.out,
		"%s],\n  \"intact\": %d,\n  \"fails\": %d,\n  \"unchecked\": %d,\n  \"finished\": %t\n}\n",
		before, t.count[verify.Intact], t.count[verify.Failed], t.count[verify.Unchecked], !broken)
	return err
}
