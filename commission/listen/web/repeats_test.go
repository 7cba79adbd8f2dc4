package web

import (
	"crypto/sha256"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// The same id of another path or with other words is another delivery, in whatever order their parts are.
func TestDeliveries(t *testing.T) {
	seen := map[digest]bool{}
	for _, d := range []digest{delivery("1", "/a", []byte("open")), delivery("1", "/b", []byte("open")),
		delivery("1", "/a", []byte("closed")), delivery("2", "/a", []byte("open")), delivery("1", "/ao", []byte("pen"))} {
		assert.False(t, seen[d])
		seen[d] = true
	}
	assert.Equal(t, delivery("1", "/a", []byte("open")), delivery("1", "/a", []byte("open")))
}

var zero = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// Deliveries are remembered up to a number, the newest, and whether they were kept.
func TestTheNewestDeliveriesAreRemembered(t *testing.T) {
	r := newRepeats(0)
	one := func(n int) digest { return delivery(fmt.Sprint(n), "/", nil) }
	for n := range mostIDs + 1 {
		again, _ := r.here(one(n), zero)
		assert.False(t, again)
		r.kept(one(n))
	}
	for n, want := range map[int]bool{1: true, mostIDs: true} {
		again, kept := r.here(one(n), zero)
		assert.Equal(t, [2]bool{want, want}, [2]bool{again, kept}, n)
	}
	again, _ := r.here(one(0), zero)
	assert.False(t, again, "it is the oldest")
	again, kept := r.here(one(0), zero)
	assert.Equal(t, [2]bool{true, false}, [2]bool{again, kept}, "it was not answered yet")
	again, _ = r.here(one(0), zero.Add(idsFor+1))
	assert.False(t, again, "a controller that was off counts from one again")
}

// Until a call is answered, and for a while after that, the same is a repetition.
func TestAlikeUntilAnswered(t *testing.T) {
	one := said{sha256.Sum256([]byte("z1")), sha256.Sum256([]byte("open")), "active"}
	r := newRepeats(2 * time.Second)
	assert.False(t, r.alike(one, zero))
	assert.True(t, r.alike(one, zero.Add(4*time.Second)), "the disk is slow: its sender does not wait")
	r.answered([]said{one}, zero.Add(4500*time.Millisecond))
	assert.True(t, r.alike(one, zero.Add(6*time.Second)))
	r.answered([]said{one}, zero.Add(6*time.Second))
	assert.False(t, r.alike(one, zero.Add(8*time.Second+1)))
	r.unanswered([]said{one}, zero.Add(9*time.Second))
	assert.True(t, r.alike(one, zero.Add(20*time.Second)))
	r.answered([]said{one}, zero.Add(20*time.Second))
	assert.True(t, r.alike(one, zero.Add(69*time.Second)), "an answer makes that no shorter")
	r.answered([]said{one}, zero.Add(69*time.Second))
	assert.False(t, r.alike(one, zero.Add(72*time.Second)))
	off := newRepeats(0)
	assert.False(t, off.alike(one, zero))
	off.answered([]said{one}, zero)
	assert.False(t, off.alike(one, zero.Add(1)))
}
