// swift-tools-version: 6.0
import PackageDescription

// The generated Swift imports this C module behind `#if canImport(DooryardCoreFFI)`: under another name
// nothing says "no such module", hundreds of types are just not found.
#if os(Linux)
let ffi: Target = .systemLibrary(name: "DooryardCoreFFI", path: "Sources/DooryardCoreFFI")
#else
// Built on a Mac from the same crate; never checked on Linux.
let ffi: Target = .binaryTarget(name: "DooryardCoreFFI", path: "build/DooryardCore.xcframework")
#endif

let package = Package(
    name: "Dooryard",
    platforms: [.iOS(.v17), .macOS(.v14)],
    products: [
        .library(name: "DooryardCore", targets: ["DooryardCore"])
    ],
    targets: [
        ffi,
        // Generated code only, in Swift 5 mode, so that our own targets can stay in Swift 6 mode.
        .target(
            name: "DooryardCore",
            dependencies: ["DooryardCoreFFI"],
            swiftSettings: [.swiftLanguageMode(.v5)]
        ),
        .testTarget(name: "DooryardCoreTests", dependencies: ["DooryardCore"]),
    ]
)
