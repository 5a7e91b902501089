package ration

import (
	"fmt"
	"strings"
	"testing"
)

// A fault in one horse is the caller's to catch: it must not end a program that works on
// other workbooks.
func TestAFaultInOneHorseCanBeCaught(t *testing.T) {
	defer func() {
		if p := recover(); !strings.Contains(fmt.Sprint(p), "the seventh") {
			t.Errorf("caught %v", p)
		}
	}()
	eachIndex(40, func(i int) {
		if i == 7 {
			panic("the seventh")
		}
	})
	t.Error("the fault was lost")
}
