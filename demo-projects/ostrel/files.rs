// Written by `cargo run -p plugwright-demo-pictures`: what the program has built in.
&[
    ("ostrel.plug.ron", include_bytes!("ostrel.plug.ron")),
    ("pictures/face-7e955825.jpg", include_bytes!("pictures/face-7e955825.jpg")),
    ("pictures/side-9eaa34ea.jpg", include_bytes!("pictures/side-9eaa34ea.jpg")),
    ("pictures/three-quarter-27afe0bb.jpg", include_bytes!("pictures/three-quarter-27afe0bb.jpg")),
]
