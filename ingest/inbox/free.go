package inbox

// freeName is name, or name with the first number under which nothing lies.
func freeName(name string, taken func(string) (bool, error)) (string, error) {
	for n := 1; ; n++ {
		s := numbered(name, n)
		if is, err := taken(s); err != nil || !is {
			return s, err
		}
	}
}
