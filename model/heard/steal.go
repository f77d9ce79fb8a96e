package heard

// addSteals notes the sockets that take over inputs.
func (r *Room) addSteals() {
	r.thieves = map[int][]int{}
	for _, g := range r.studio.Gear {
		for _, s := range g.Steals {
			front, okFront := r.number[s.Front]
			rear, okRear := r.number[s.Rear]
			if okFront && okRear {
				r.thieves[rear] = append(r.thieves[rear], front)
			}
		}
	}
}

// stolen says whether an input hears nothing, since something is plugged into a
// socket that takes it over: a lead, or a cable that is wired there for good.
func (s *State) stolen(input int) bool {
	for _, front := range s.room.thieves[input] {
		if s.plugged[front] > 0 || len(s.room.islands[s.room.island[front]].points) > 1 {
			return true
		}
	}
	return false
}
