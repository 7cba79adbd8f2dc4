package atomicfile

// SyncFolder does nothing: Windows has no call that syncs a folder, and keeps
// names durable by its own log.
func SyncFolder(string) error { return nil }
