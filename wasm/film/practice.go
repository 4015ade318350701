package main

import "isthmus/core/phantom"

// practiceOf returns the practice case of a key.
func practiceOf(key string) (phantom.Case, error) {
	c, ok := phantom.PracticeOf(key)
	if !ok {
		return phantom.Case{}, &trouble{"film-practice", "film: this version has no such practice case: go online once and reload the page"}
	}
	return c, nil
}

// drawn draws a film of a practice case and returns it as a file.
func drawn(key string, film int, tell func(float64)) ([]byte, error) {
	c, err := practiceOf(key)
	if err != nil {
		return nil, err
	}
	if film < 0 || film >= len(c.Setups) {
		return nil, &trouble{"film-message", "film: the page asked for a film that the practice case has not: reload the page and try again"}
	}
	f, err := phantom.DrawTelling(c.Femur, c.Setups[film], tell)
	if err != nil {
		return nil, err
	}
	return f.DICOM(phantom.Tags{}), nil
}

// told returns what is true of a practice case, as JSON.
func told(key string) (string, error) {
	c, err := practiceOf(key)
	if err != nil {
		return "", err
	}
	t, err := c.Tell()
	if err != nil {
		return "", err
	}
	return jsonText(t)
}
