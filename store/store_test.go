package store_test

import (
	"testing"

	"ovenward/store/storetest"
)

func TestEmpty(t *testing.T) {
	s := storetest.Open(t)
	if days, err := s.Days(t.Context()); err != nil || days != nil {
		t.Errorf("Days = %v, %v", days, err)
	}
}
