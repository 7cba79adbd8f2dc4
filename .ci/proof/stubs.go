package main

import "context"

type brokerFaults struct{}

func (brokerFaults) name() string { return "broker" }

func (brokerFaults) run(ctx context.Context, o options) (result, error) { return result{}, nil }
