package main

import "context"

type power struct{}
type fullDisk struct{}
type brokerFaults struct{}

func (power) name() string        { return "power" }
func (fullDisk) name() string     { return "full-disk" }
func (brokerFaults) name() string { return "broker" }

func (power) run(ctx context.Context, o options) (result, error)        { return result{}, nil }
func (fullDisk) run(ctx context.Context, o options) (result, error)     { return result{}, nil }
func (brokerFaults) run(ctx context.Context, o options) (result, error) { return result{}, nil }
