"""Would the tests notice? Small mistakes put into a room, one at a time: docs/mutation.md."""
