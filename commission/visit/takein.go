package visit

import (
	"errors"

	"loopwitness/commission/record"
)

// TakeIn takes a photograph in that was taken before the run begins: the picture is durable
// before the journal tells of it. Call it before Run, which goes on whatever the error: it
// meets a journal that fails by itself.
func (v *Visit) TakeIn(p Prepared) error {
	var fact record.Photographed
	var may error
	if err := v.look(func(r *record.Record) { fact, may = p.Fact(r) }); err != nil || may != nil {
		return errors.Join(err, may)
	}
	if err := p.Keep(fact); err != nil {
		return err
	}
	return v.add(fact)
}
