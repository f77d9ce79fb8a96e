package message_test

import "bayhand/model/device"

// The descriptions here are values, so that what is tested is the bytes alone.

func lit(text string) device.Field   { return device.Field{Kind: device.Literal, Bytes: []byte(text)} }
func raw(bytes ...byte) device.Field { return device.Field{Kind: device.Literal, Bytes: bytes} }
func dec(value string) device.Field {
	return device.Field{Kind: device.Number, Value: value, Base: device.Decimal}
}
func seven(value string, add int) device.Field {
	return device.Field{Kind: device.Number, Value: value, Base: device.SevenBit, Add: add}
}
func text(value string) device.Field { return device.Field{Kind: device.Text, Value: value} }

var list = device.Field{Kind: device.Channels}

func scpi() *device.Description {
	return &device.Description{
		Name: "scpi", Switching: device.ByCrosspoint,
		Frame:      device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Parameters: []device.Parameter{{Name: "rows", Choices: []string{"outputs", "inputs"}, Default: "outputs"}},
		Exchanges: []device.Exchange{
			{Role: device.Identify, Send: []device.Field{lit("*IDN?\n")}, Answer: []device.Field{text("identity"), lit("\n")}},
			{Role: device.Close, Send: []device.Field{lit("ROUT:CLOS "), list, lit("\n")}, Batch: 16},
			{Role: device.Open, Send: []device.Field{lit("ROUT:OPEN "), list, lit("\n")}, Batch: 16},
			{Role: device.Read, Send: []device.Field{lit("ROUT:CLOS:STAT?\n")}, Answer: []device.Field{
				{Kind: device.Block, Of: []device.Field{list}, Bare: true}, lit("\n")}},
			{Role: device.Settle, Send: []device.Field{lit("*OPC?\n")}, Answer: []device.Field{lit("1\n")}},
			{Role: device.Errors, Send: []device.Field{lit("SYST:ERR?\n")}, Answer: []device.Field{
				dec("code"), lit(",\""), text("message"), lit("\"\n")}},
		},
	}
}

func exclusive() *device.Description {
	ack := func(kind byte) []device.Field {
		return []device.Field{raw(0xF0, 0x7E), seven("unit", 0), raw(kind), seven("packet", 0), raw(0xF7)}
	}
	return &device.Description{
		Name: "exclusive", Switching: device.ByOutput,
		Frame:      device.Frame{Kind: device.MIDIMessages},
		Parameters: []device.Parameter{{Name: "unit", From: 0, To: 126, Default: "16"}},
		Exchanges: []device.Exchange{
			{Role: device.Identify,
				Send:   []device.Field{raw(0xF0, 0x7E), seven("unit", 0), raw(0x06, 0x01, 0xF7)},
				Answer: []device.Field{raw(0xF0, 0x7E), seven("unit", 0), raw(0x06, 0x02), text("identity"), raw(0xF7)}},
			{Role: device.Set, Batch: 4, Answer: ack(0x7F), Refusal: ack(0x7E),
				Send: []device.Field{raw(0xF0, 0x7D), seven("unit", 0), raw(0x01), seven("packet", 0),
					{Kind: device.Each, Over: device.Changes, Of: []device.Field{seven("output", -1), seven("input", 0)}}, raw(0xF7)}},
			{Role: device.Read,
				Send: []device.Field{raw(0xF0, 0x7D), seven("unit", 0), raw(0x02), seven("packet", 0), raw(0xF7)},
				Answer: []device.Field{raw(0xF0, 0x7D), seven("unit", 0), raw(0x42), seven("packet", 0),
					{Kind: device.Each, Over: device.Outputs, Of: []device.Field{seven("input", 0)}}, raw(0xF7)}},
		},
	}
}

func control() *device.Description {
	status := device.Field{Kind: device.Number, Value: "channel", Base: device.EightBit, Add: 175}
	return &device.Description{
		Name: "control", Switching: device.ByOutput,
		Frame:      device.Frame{Kind: device.MIDIMessages},
		Parameters: []device.Parameter{{Name: "channel", From: 1, To: 16, Default: "1"}},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 1, Send: []device.Field{status, seven("output", 101), seven("input", 0)}},
		},
	}
}

func lines() *device.Description {
	pair := device.Field{Kind: device.Each, Over: device.Changes, Separator: []byte(" "), Of: []device.Field{dec("output"), lit("="), dec("input")}}
	all := device.Field{Kind: device.Each, Over: device.Outputs, Separator: []byte(" "), Of: []device.Field{dec("input")}}
	return &device.Description{
		Name: "lines", Switching: device.ByOutput,
		Frame: device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 8, Send: []device.Field{lit("SET "), pair, lit("\n")},
				Answer: []device.Field{lit("DONE\n")}, Refusal: []device.Field{lit("NO "), text("message"), lit("\n")}},
			{Role: device.Read, Send: []device.Field{lit("READ\n")}, Answer: []device.Field{lit("IS "), all, lit("\n")}},
			{Role: device.Report, Answer: []device.Field{lit("NOW "), pair, lit("\n")}},
		},
	}
}
