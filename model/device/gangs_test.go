package device_test

import (
	"slices"
	"testing"

	"bayhand/model/device"
)

// Each output is in the gang that lists it, at its place; those in none move alone.
func TestGangs(t *testing.T) {
	lists := device.Gangs{Lists: [][]int{{1, 2}, {6, 5}}}
	for _, test := range []struct {
		gangs   device.Gangs
		output  int
		gang    []int
		place   int
		outputs int
	}{
		{device.Gangs{}, 1, nil, 0, 8},
		{device.Gangs{Of: 2}, 1, []int{1, 2}, 0, 8},
		{device.Gangs{Of: 2}, 8, []int{7, 8}, 1, 8},
		{device.Gangs{Of: 3}, 7, nil, 0, 8},
		{device.Gangs{Of: 2}, 0, nil, 0, 8},
		{lists, 5, []int{6, 5}, 1, 8},
		{lists, 3, nil, 0, 8},
	} {
		gang, place := test.gangs.Gang(test.output, test.outputs)
		if !slices.Equal(gang, test.gang) || place != test.place {
			t.Errorf("%+v, output %d: %v, %d", test.gangs, test.output, gang, place)
		}
		for _, listed := range test.gangs.All(test.outputs) {
			for i, output := range listed {
				if gang, place := test.gangs.Gang(output, test.outputs); !slices.Equal(gang, listed) || place != i {
					t.Errorf("%+v: output %d of %v is %v, %d", test.gangs, output, listed, gang, place)
				}
			}
		}
	}
}
