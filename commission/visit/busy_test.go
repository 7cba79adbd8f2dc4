package visit

import (
	"context"

	"loopwitness/commission/ask"
)

// busyOperator lets something happen while a question or a watch stands.
type busyOperator struct {
	ask.Operator
	during, watching func()
}

func (o *busyOperator) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	if o.during != nil {
		o.during()
	}
	return o.Operator.Ask(ctx, q)
}

func (o *busyOperator) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if o.watching != nil {
		o.watching()
	}
	return o.Operator.Watch(ctx, w)
}
