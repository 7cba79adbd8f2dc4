package main

import "context"

type power struct{}
type brokerFaults struct{}

func (power) name() string        { return "power" }
func (brokerFaults) name() string { return "broker" }

func (power) run(ctx context.Context, o options) (result, error)        { return result{}, nil }
func (brokerFaults) run(ctx context.Context, o options) (result, error) { return result{}, nil }
