package visit

import (
	"context"

	"loopwitness/commission/ask"
)

// busyOperator lets something happen while a question stands.
type busyOperator struct {
	ask.Operator
	during func()
}

func (o *busyOperator) Ask(ctx context.Context, q ask.Question) (string, error) {
	o.during()
	return o.Operator.Ask(ctx, q)
}
