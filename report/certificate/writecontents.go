package certificate

import (
	"crypto/sha256"
	"encoding/hex"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// further are what papers ask of a system beside what is fitted.
func (w writer) further(p *Pairs) {
	f := w.r.Site().Further
	for _, of := range []struct {
		label words.Label
		text  string
	}{{words.DesignLabel, f.Design}, {words.AuthorityLabel, f.Authority}} {
		w.pair(p, of.label, w.say(words.Named(of.text)))
	}
}

// fitted counts what is fitted, by kind, and says with what it is operated and to what it is joined.
func (w writer) fitted(p *Pairs) {
	s := w.r.Site()
	detectors, outputs := map[site.DetectorKind]int{}, map[site.OutputKind]int{}
	s.Each(func(_ site.Point, _ *site.Zone, d *site.Detector) { detectors[d.Kind]++ })
	for _, o := range s.Outputs {
		outputs[o.Kind]++
	}
	var of words.Fitted
	for _, kind := range site.Kinds {
		if k := site.DetectorKind(kind); detectors[k] > 0 {
			of.Detectors = append(of.Detectors, words.OfKind{Kind: k, N: detectors[k]})
		}
	}
	for _, k := range []site.OutputKind{site.Sounder, site.Strobe, site.Chime} {
		if outputs[k] > 0 {
			of.Outputs = append(of.Outputs, words.OfKind{Kind: k, N: outputs[k]})
		}
	}
	w.pair(p, words.FittedLabel, w.say(of))
	w.pair(p, words.CablesLabel, w.say(words.CablesReusedOf(s)))
	w.pair(p, words.ControlsLabel, w.say(words.Named(s.Further.Controls)))
	w.pair(p, words.InterfacesLabel, w.say(words.Named(s.Further.Interfaces)))
}

// cableOf is a zone's cable, as the site file has it.
func (w writer) cableOf(z *site.Zone) words.ZoneCable {
	c := words.ZoneCable{Reused: w.r.Site().Reused(z) == site.SaidYes}
	if z.Cable != nil {
		c.Type, c.Length, c.Conductor = z.Cable.Type, z.Cable.Length.Text, z.Cable.Conductor.Text
	}
	return c
}

// siteFile tells which site file counted at the end of the visit.
func (w writer) siteFile(p *Pairs) {
	sum := sha256.Sum256(w.r.Site().Raw)
	w.pair(p, words.SiteFileLabel, w.say(words.FileHash{Begins: grouped(hex.EncodeToString(sum[:8]))}))
}

// kept tells where the record is kept, as the site file has it, in a visit whose list does not ask.
func (w writer) kept(p *Pairs) {
	for _, s := range w.a.Checklist() {
		if s.Step().Item == programme.RecordsItem {
			return
		}
	}
	for _, a := range w.r.Site().Agreed {
		if a.Key == string(programme.RecordsItem) {
			w.pair(p, words.KeptLabel, w.say(words.Named(a.Text)))
		}
	}
}
