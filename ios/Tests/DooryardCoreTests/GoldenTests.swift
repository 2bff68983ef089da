import DooryardCore
import Foundation
import Testing

/// One line of `expected.json`: a file, those taken before it, and what becomes of it on a phone.
struct Expected: Decodable, Equatable, Sendable {
    let file: String
    let after: [String]
    var code: String?
    var retry: String?
    var sentence: String?
    var number: UInt64
    var records: UInt64
    var received: UInt64
    var photosReceived: UInt64
    var waiting: [String]
    var restored: Bool

}

/// A line with the folder that its files stand in.
struct GoldenCase: Sendable, CustomTestStringConvertible {
    let from: String
    let expected: Expected

    var testDescription: String { "\(from)/\(expected.file) after \(expected.after)" }

    /// The golden replies, and what is for the office and came to the phone by mistake, in order.
    static let all: [GoldenCase] = {
        struct Table: Decodable {
            let toPhone: [Expected]
            let astray: [Expected]
        }
        let decoder = JSONDecoder()
        decoder.keyDecodingStrategy = .convertFromSnakeCase
        guard let data = try? Data(contentsOf: Places.golden.appendingPathComponent("expected.json")),
            let table = try? decoder.decode(Table.self, from: data)
        else { return [] }
        return table.toPhone.map { GoldenCase(from: "to-phone", expected: $0) }
            + table.astray.map { GoldenCase(from: "to-office", expected: $0) }
    }()
}

/// The golden files, each taken on a copy of the golden phone.
@Suite struct GoldenTests {
    @Test(arguments: GoldenCase.all) func everyFileHasItsExpectedOutcome(_ golden: GoldenCase) throws {
        let expected = golden.expected
        let take = { (name: String, notebook: FieldNotebook) in
            try notebook.takeReply(path: Places.golden.appendingPathComponent("\(golden.from)/\(name)").path)
        }
        let folder = try Folder()
        try FileManager.default.copyItem(
            atPath: Places.golden.appendingPathComponent("phone").path, toPath: folder.path("phone"))
        let notebook = try FieldNotebook.open(path: folder.path("phone"), secrets: MemorySecrets())
        for earlier in expected.after {
            _ = try take(earlier, notebook)
        }
        if expected.code == nil {
            let reply = try take(expected.file, notebook)
            let got = Expected(
                file: expected.file, after: expected.after, number: reply.number, records: reply.records,
                received: reply.received, photosReceived: reply.photosReceived, waiting: reply.waiting.map(\.code),
                restored: reply.restored)
            #expect(got == expected)
            return
        }
        let before = try notebook.list(request: ListRequest())
        guard
            case .Refused(let code, let retry, let sentence)? = thrown(by: { _ = try take(expected.file, notebook) })
        else {
            Issue.record("\(expected.file) was taken")
            return
        }
        let words: [Retry: String] = [
            .never: "never", .later: "later", .afterUpgrade: "after_upgrade", .afterPerson: "after_person",
        ]
        #expect([code, words[retry], sentence.en] == [expected.code, expected.retry, expected.sentence])
        #expect(try notebook.list(request: ListRequest()) == before, "nothing was changed")
    }

    @Test(arguments: ["to-phone", "to-office"]) func everyFileIsInTheTable(_ from: String) throws {
        let there = try FileManager.default.contentsOfDirectory(
            atPath: Places.golden.appendingPathComponent(from).path)
        #expect(Set(there) == Set(GoldenCase.all.filter { $0.from == from }.map(\.expected.file)))
        #expect(there.count > 15)
    }
}
