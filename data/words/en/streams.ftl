# What a stream is called: a table's own name, in English.
stream-called = { $id ->
   *[other] { $name }
}
