package site

// AlarmOutputs are the outputs that an alarm energises together: all but chimes.
func (s *Site) AlarmOutputs() []*Output {
	var all []*Output
	for i := range s.Outputs {
		if s.Outputs[i].Kind != Chime {
			all = append(all, &s.Outputs[i])
		}
	}
	return all
}
