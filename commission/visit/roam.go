package visit

import (
	"context"

	"loopwitness/commission/record"
)

func (v *Visit) roam(ctx context.Context, s *record.Outcome) error { return nil }
