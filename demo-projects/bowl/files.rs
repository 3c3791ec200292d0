// Written by `cargo run -p plugwright-demo-pictures`: what the program has built in.
&[
    ("bowl.plug.ron", include_bytes!("bowl.plug.ron")),
]
