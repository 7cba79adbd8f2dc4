package visit

import (
	"fmt"

	"loopwitness/commission/record"
)

// TakeSite takes the site file in as it is now, before the visit goes on. Steps that the
// change affects are open again. The source has to be one of that site.
func (v *Visit) TakeSite(changed record.SiteChanged) error {
	var may error
	if err := v.look(func(r *record.Record) { may = r.MayChangeSite(changed) }); err != nil {
		return err
	}
	if may != nil {
		return fmt.Errorf("the changed site file cannot be taken in: %w", may)
	}
	return v.add(changed)
}
