package identity

import "loopwitness/commission/kit/readfile"

// longestKey bounds a file with a key or with certificates, in bytes.
const longestKey = 1 << 20

func readKey(path string) ([]byte, error) { return readfile.All(path, longestKey) }
